//! `fenlamp sources`: what stands behind a key.

use fenlamp_core::reference::{self, Source, Standing};

use crate::failure::Failure;
use crate::page::wrap;

/// The citations behind keys, or all of them.
///
/// # Errors
/// [`Failure::Input`] for a key that is not there.
pub fn run(keys: &[String]) -> Result<String, Failure> {
    if keys.is_empty() {
        return Ok(reference::sources().iter().map(entry).collect());
    }
    let mut out = String::new();
    for typed in keys {
        let key = typed.trim_matches(['[', ']', ',']);
        let source = reference::sources()
            .iter()
            .find(|s| s.key.eq_ignore_ascii_case(key));
        let source = source.ok_or_else(|| {
            let near = fenlamp_quantity::nearest_word(
                key,
                reference::sources().iter().map(|s| s.key.as_str()),
            );
            let help = near.map_or_else(
                || "without a key all sources are listed".to_owned(),
                |near| format!("did you mean {near}?"),
            );
            Failure::input(format!("there is no source \"{typed}\""), help)
        })?;
        out += &entry(source);
    }
    Ok(out)
}

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
