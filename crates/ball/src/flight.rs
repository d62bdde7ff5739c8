//! Flight: from launch to where the ball comes to rest.
