//! Impact: from the head as it is delivered to the ball as it leaves.
