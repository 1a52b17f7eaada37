//! contact
