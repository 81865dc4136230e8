//! Which fuse suits each way: the smallest that carries what it must, the largest that protects
//! everything behind it.

pub mod curve;
pub mod reach;
pub mod window;

#[cfg(test)]
mod tests;
