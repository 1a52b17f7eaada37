//! The report as its readers and their programs see it.

mod figures;
mod fixture;
mod page;
mod palette;
mod real;
mod rows;
mod sources;
mod tables;
