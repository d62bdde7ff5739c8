//! The ball that is struck and flies: as heavy and as small as the Rules allow, with its mass spread evenly.

/// Mass, kg. Standard: the most the Rules of Golf allow, 45.93 g (2016, Appendix III).
pub const MASS_KG: f64 = 0.045_93;
/// Radius, m. Standard: half of the least diameter the Rules of Golf allow, 42.67 mm (2016, Appendix III).
pub const RADIUS_M: f64 = 0.042_67 / 2.0;
/// Moment of inertia about any axis through the centre, kg m².
///
/// Derived: an even sphere, 2/5 m r² = 83.63 g cm². Published for a ball of 45.9 g: 83.63 g cm² (Proceedings 2020,
/// 49(1), 47, Table 1).
pub const INERTIA_KG_M2: f64 = 0.4 * MASS_KG * RADIUS_M * RADIUS_M;
