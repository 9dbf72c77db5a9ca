//! `fenlamp demo`: a plan to start from.

use crate::demos::{self, DEMOS};
use crate::failure::Failure;
use crate::page::{Side, table};

/// The text of a demo, or the list of demos.
///
/// # Errors
/// [`Failure::Input`] for a name that is not there.
pub fn run(name: Option<&str>) -> Result<String, Failure> {
    let Some(name) = name else {
        let rows: Vec<Vec<String>> = DEMOS
            .iter()
            .map(|d| vec![d.name.to_owned(), d.line.to_owned()])
            .collect();
        return Ok(format!(
            "Demo plans; their places, figures and weather are invented.\n\n{}\n\
             Start your own from one:  fenlamp demo {} > plan.toml\n",
            table(&["name", "what it is"], &[Side::Left; 2], &rows),
            DEMOS[0].name
        ));
    };
    demos::demo(name.strip_prefix("demo:").unwrap_or(name))
        .map(|d| d.text.to_owned())
        .ok_or_else(|| {
            Failure::input(
                format!("there is no demo \"{name}\""),
                format!("there are: {}", demos::names()),
            )
        })
}
