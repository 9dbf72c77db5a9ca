//! Pictures as SVG text, for the page, the booklet and the command line alike.
//!
//! Values in, text out: no files, no clock. Every mark has a class, so that a
//! page may recolour it (dark rooms, high contrast), and a plain colour of its
//! own, so that it prints without one. Two inks: dark, and flame for gas alone;
//! what the colours tell is told by shape, dash or hatch as well.

pub mod build;
mod dimension;
pub mod plant;
pub mod plot;
mod svg;

pub use svg::text_width;
