//! The workbench as a page, and whoever else, meets it: over HTTP and its WebSocket.

mod choices;
mod desk;
mod exports;
mod fuzz;
mod gate;
mod live;
mod page;
mod served;
mod studies;
