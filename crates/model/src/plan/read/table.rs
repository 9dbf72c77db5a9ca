//! What the readers of several tables share.

use toml::de::DeValue;

use super::super::error::Fault;
use super::Section;

/// `true` or `false`, bare; `usual` when the key is not there.
pub(super) fn yes(s: &Section<'_>, key: &'static str, usual: bool) -> Option<bool> {
    match s.get(key).map(|v| v.get_ref()) {
        None => Some(usual),
        Some(DeValue::Boolean(b)) => Some(*b),
        Some(other) => {
            s.wrong_type(key, other, "write true or false, without quotes");
            None
        }
    }
}

/// A fault that belongs to a whole table.
pub(super) fn at_table(s: &Section<'_>, message: String, help: &str) {
    s.report
        .add(s.path(""), s.span.clone(), Fault::new(message, help));
}
