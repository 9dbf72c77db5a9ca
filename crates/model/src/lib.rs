//! The numbers of Fenlamp: from place, waste and vessel to many worlds' gas.
//!
//! No files, clock, terminal, network or environment are touched here. Data
//! flows one way: place and waste -> weather and feed -> warmth -> digestion
//! -> gas -> forecast. Nothing downstream is read upstream.

pub mod band;

pub mod reference;

pub mod plan;

pub mod feed;
pub mod weather;

pub mod warmth;

pub mod gas;

pub mod say;
pub mod world;

pub mod digestate;
pub mod forecast;
