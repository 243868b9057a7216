//! Tests of the guides.
