//! The page as its users meet it: in a real browser, and by those who should be
//! kept out. Needs Chromium and its driver, which `./test` installs.

mod access;
mod accessible;
mod browser;
mod harness;
mod looks;
