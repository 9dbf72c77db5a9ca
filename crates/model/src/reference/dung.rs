//! Which feedstock row an animal's manure is: `animal_dung.csv`.

use super::sheet::{Fault, Sheet, sorted_out};

pub(super) struct Dung {
    pub(super) animal_id: String,
    pub(super) feedstock_id: String,
    pub(super) like: Option<String>,
}

pub(super) fn parse(text: &str) -> Result<Vec<Dung>, Vec<Fault>> {
    let columns = ["id", "feedstock_id", "like", "source_key", "reason"];
    let sheet = Sheet::read("animal_dung", text, &columns)?;
    let twice = sheet.twice("id");
    if !twice.is_empty() {
        return Err(twice);
    }
    sorted_out(sheet.rows("id").map(|row| {
        row.filled("reason")?;
        Ok(Dung {
            animal_id: row.filled("id")?,
            feedstock_id: row.filled("feedstock_id")?,
            like: Some(row.text("like").to_owned()).filter(|like| !like.is_empty()),
        })
    }))
}
