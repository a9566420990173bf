//! The demonstration: an invented outfit whose whole job is done once, through the API.
