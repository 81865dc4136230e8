//! Which fuse suits each way: the smallest that carries what it must, the largest that protects
//! everything behind it.

pub mod curve;
pub mod reach;
pub mod series;
pub mod unfused;
pub mod window;
pub mod withstand;

#[cfg(test)]
mod tests;
