//! (see ARCHITECTURE.md)
