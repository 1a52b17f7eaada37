//! The engine through its only door: designs as text in, answers out.

mod at_work;
mod brute;
mod examples;
mod fem;
mod laws;
mod naive;
mod trade;
mod worst;
