//! Placeholder: filled by the next commits.
