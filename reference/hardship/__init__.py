"""What is left of a studio when the power fails or the disk does. See `docs/proofs.md`."""
