//! Bends.
