//! Reading one CSV text into cells, and the faults a reading can have.

use std::fmt;

/// One fault in a reference table.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// File without its ending, e.g. `feedstocks`.
    pub table: &'static str,
    /// Line in the file, counted from 1; 0 if the fault is of the whole file.
    pub line: u64,
    /// Id or symbol of the row, empty if it has none.
    pub id: String,
    /// What is wrong.
    pub what: FaultKind,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}.csv:{} {}: {}",
            self.table, self.line, self.id, self.what
        )
    }
}

impl std::error::Error for Fault {}

/// Kinds of fault.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FaultKind {
    /// The text is not a table.
    #[error("cannot be read: {0}")]
    Unreadable(String),
    /// A column the table must have is missing.
    #[error("the column {0} is missing")]
    NoColumn(String),
    /// A cell that must hold a finite number does not.
    #[error("{column} is not a number: {text:?}")]
    NotANumber {
        /// Column.
        column: String,
        /// What stands there.
        text: String,
    },
    /// A cell that must not be empty is.
    #[error("{0} is empty")]
    Empty(String),
    /// A cell holds a word that is not one of the allowed ones.
    #[error("{column} holds {text:?}, which has no meaning here")]
    UnknownWord {
        /// Column.
        column: String,
        /// What stands there.
        text: String,
    },
    /// A figure has no source key.
    #[error("{0} has no source key")]
    NoSourceKey(String),
    /// A source key has no citation.
    #[error("the source key {0} has no citation in sources.csv")]
    NoCitation(String),
    /// `low <= mid <= high` does not hold.
    #[error("{0}: low, central and high value are out of order")]
    Disordered(String),
    /// The central methane potential is above what the composition can give.
    #[error("methane potential {bmp:.3} m3/kg VS is above the {ceiling:.3} its composition allows")]
    AboveTheory {
        /// Central potential, m3 CH4/kg VS.
        bmp: f64,
        /// Theoretical yield of the composition, m3 CH4/kg VS.
        ceiling: f64,
    },
    /// Carbohydrate, protein, fat, lignin, ash and mineral nitrogen do not add up.
    #[error("composition and ash add up to {0:.0} % of total solids")]
    CompositionSum(f64),
    /// A share lies outside 0 to 1 or a quantity is negative.
    #[error("{0} is outside its possible range")]
    Impossible(String),
    /// Neither the table nor any rule gives the figure.
    #[error("no figure and no rule for {0}")]
    Unfilled(String),
    /// Two rows carry one id.
    #[error("the id stands twice")]
    Twice,
    /// A row points to a row that is not there.
    #[error("{0} is not a row of the table it points to")]
    NoSuchRow(String),
}

/// A CSV text as cells.
pub(super) struct Sheet {
    name: &'static str,
    columns: Vec<String>,
    rows: Vec<(u64, Vec<String>)>,
}

/// One row of a sheet.
#[derive(Clone, Copy)]
pub(super) struct Cells<'a> {
    sheet: &'a Sheet,
    line: u64,
    cells: &'a [String],
    id_column: &'static str,
}

impl Sheet {
    /// Reads `text`; ragged rows and broken quoting are faults.
    pub(super) fn read(
        name: &'static str,
        text: &str,
        columns: &[&str],
    ) -> Result<Self, Vec<Fault>> {
        let whole = |what| Fault {
            table: name,
            line: 0,
            id: String::new(),
            what,
        };
        let mut reader = csv::ReaderBuilder::new()
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let header = match reader.headers() {
            Ok(header) => header.iter().map(str::to_owned).collect::<Vec<_>>(),
            Err(error) => return Err(vec![whole(FaultKind::Unreadable(error.to_string()))]),
        };
        let mut faults: Vec<Fault> = columns
            .iter()
            .filter(|column| !header.iter().any(|h| h == *column))
            .map(|column| whole(FaultKind::NoColumn((*column).to_owned())))
            .collect();
        let mut rows = Vec::new();
        for record in reader.records() {
            match record {
                Ok(record) => {
                    let line = record.position().map_or(0, csv::Position::line);
                    rows.push((line, record.iter().map(str::to_owned).collect()));
                }
                Err(error) => {
                    let line = error.position().map_or(0, csv::Position::line);
                    faults.push(Fault {
                        line,
                        ..whole(FaultKind::Unreadable(error.to_string()))
                    });
                }
            }
        }
        if faults.is_empty() {
            Ok(Self {
                name,
                columns: header,
                rows,
            })
        } else {
            Err(faults)
        }
    }

    /// The rows, named in faults by `id_column`.
    pub(super) fn rows(&self, id_column: &'static str) -> impl Iterator<Item = Cells<'_>> {
        self.rows.iter().map(move |(line, cells)| Cells {
            sheet: self,
            line: *line,
            cells,
            id_column,
        })
    }

    /// A fault for every id that stands twice.
    pub(super) fn twice(&self, id_column: &'static str) -> Vec<Fault> {
        let mut seen = std::collections::BTreeSet::new();
        self.rows(id_column)
            .filter(|row| !seen.insert(row.text(id_column).to_owned()))
            .map(|row| row.fault(FaultKind::Twice))
            .collect()
    }
}

impl Cells<'_> {
    /// A fault of this row.
    pub(super) fn fault(&self, what: FaultKind) -> Fault {
        Fault {
            table: self.sheet.name,
            line: self.line,
            id: self.text(self.id_column).to_owned(),
            what,
        }
    }

    /// The cell as text; empty if the column is not there.
    pub(super) fn text(&self, column: &str) -> &str {
        let place = self.sheet.columns.iter().position(|name| name == column);
        place
            .and_then(|place| self.cells.get(place))
            .map_or("", String::as_str)
    }

    /// The cell as text, which must not be empty.
    pub(super) fn filled(&self, column: &str) -> Result<String, Fault> {
        let text = self.text(column);
        if text.is_empty() {
            return Err(self.fault(FaultKind::Empty(column.to_owned())));
        }
        Ok(text.to_owned())
    }

    /// The cell as a finite number, `None` if empty.
    pub(super) fn maybe(&self, column: &str) -> Result<Option<f64>, Fault> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Some(number)),
            _ => Err(self.fault(FaultKind::NotANumber {
                column: column.to_owned(),
                text: text.to_owned(),
            })),
        }
    }

    /// The cell as a finite number, which must be there.
    pub(super) fn number(&self, column: &str) -> Result<f64, Fault> {
        self.maybe(column)?
            .ok_or_else(|| self.fault(FaultKind::Empty(column.to_owned())))
    }

    /// A fault for a word with no meaning.
    pub(super) fn unknown(&self, column: &str) -> Fault {
        self.fault(FaultKind::UnknownWord {
            column: column.to_owned(),
            text: self.text(column).to_owned(),
        })
    }

    /// Low, central and high value in order, as far as they are there.
    pub(super) fn ordered(&self, low: &str, mid: &str, high: &str) -> Result<(), Fault> {
        let present: Vec<f64> = [self.maybe(low)?, self.maybe(mid)?, self.maybe(high)?]
            .into_iter()
            .flatten()
            .collect();
        if present.windows(2).all(|pair| pair[0] <= pair[1]) {
            Ok(())
        } else {
            Err(self.fault(FaultKind::Disordered(
                if mid.is_empty() { low } else { mid }.to_owned(),
            )))
        }
    }
}

/// Splits rows into values and faults.
pub(super) fn sorted_out<T>(
    results: impl Iterator<Item = Result<T, Fault>>,
) -> Result<Vec<T>, Vec<Fault>> {
    let mut values = Vec::new();
    let mut faults = Vec::new();
    for result in results {
        match result {
            Ok(value) => values.push(value),
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() {
        Ok(values)
    } else {
        Err(faults)
    }
}
