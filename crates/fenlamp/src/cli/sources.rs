//! `fenlamp sources`: what stands behind a key.

use fenlamp_model::reference;

use crate::failure::Failure;
use crate::view_model::sources_text::entry;

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
