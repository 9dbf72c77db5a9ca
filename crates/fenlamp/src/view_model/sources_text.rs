//! A source as it is cited in full.

use fenlamp_model::reference::{Source, Standing};

use crate::page::wrap;

/// One source with all that is known of it.
pub fn entry(source: &Source) -> String {
    let mut text = format!(
        "[{}] {} ({})",
        source.key,
        source.citation,
        how(source.standing)
    );
    if !source.address.is_empty() {
        text += &format!(". Read at {}", source.address);
    }
    if !source.note.is_empty() {
        text += &format!(". {}", source.note);
    }
    wrap(&text, "", "  ")
}

/// How the figures under a key were got.
fn how(standing: Standing) -> &'static str {
    match standing {
        Standing::Read => "read",
        Standing::Memory => "from memory: verify",
        Standing::Computed => "computed",
        Standing::Derived => "derived",
        Standing::Judgement => "judgement",
    }
}
