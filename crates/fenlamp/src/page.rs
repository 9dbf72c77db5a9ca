//! Text for a terminal: wrapping and tables of at most 80 columns.

/// Widest line, columns.
pub const WIDTH: usize = 80;

/// Columns a text takes (every character of our texts is one wide).
pub fn width(text: &str) -> usize {
    text.chars().count()
}

/// Wraps at [`WIDTH`]; the first line begins with `first`, the others with `rest`.
pub fn wrap(text: &str, first: &str, rest: &str) -> String {
    let mut out = String::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split_whitespace() {
        // A number stays with its unit.
        if !empty && width(&line) + 1 + width(word) > WIDTH {
            out.push_str(line.trim_end());
            out.push('\n');
            line = rest.to_owned();
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(word);
        empty = false;
    }
    out.push_str(line.trim_end());
    out.push('\n');
    out
}

/// How a column stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// To the left.
    Left,
    /// To the right.
    Right,
}

/// A table with a rule under its head. The last column goes on in lines of its
/// own where it would pass [`WIDTH`].
pub fn table(head: &[&str], sides: &[Side], rows: &[Vec<String>]) -> String {
    let Some(last) = head.len().checked_sub(1) else {
        return String::new();
    };
    let mut widths: Vec<usize> = head.iter().map(|h| width(h)).collect();
    for row in rows {
        for (w, cell) in widths.iter_mut().zip(row) {
            *w = (*w).max(width(cell));
        }
    }
    let others: usize = widths[..last].iter().map(|w| w + 2).sum();
    widths[last] = widths[last].min(WIDTH.saturating_sub(others).max(8));
    let mut out = String::new();
    let mut line = |cells: &[String]| {
        let parts = broken(cells.get(last).map_or("", String::as_str), widths[last]);
        for (i, part) in parts.iter().enumerate() {
            let mut text = String::new();
            for column in 0..=last {
                let cell = match (column == last, i) {
                    (true, _) => part.as_str(),
                    (false, 0) => cells.get(column).map_or("", String::as_str),
                    (false, _) => "",
                };
                if column > 0 {
                    text.push_str("  ");
                }
                let gap = " ".repeat(widths[column].saturating_sub(width(cell)));
                match sides.get(column) {
                    Some(Side::Right) => text.extend([gap.as_str(), cell]),
                    _ => text.extend([cell, &gap]),
                }
            }
            out.push_str(text.trim_end());
            out.push('\n');
        }
    };
    line(&head.iter().map(|h| (*h).to_owned()).collect::<Vec<_>>());
    line(&widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>());
    for row in rows {
        line(row);
    }
    out
}

/// A text in lines of at most `most` columns; a longer word is cut through.
fn broken(text: &str, most: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let mut word: Vec<char> = word.chars().collect();
        loop {
            let line = match lines.last_mut() {
                Some(line) if line.is_empty() || width(line) + 1 + word.len() <= most => line,
                _ => {
                    lines.push(String::new());
                    continue;
                }
            };
            if !line.is_empty() {
                line.push(' ');
            }
            let rest = word.split_off(word.len().min(most));
            line.extend(word);
            if rest.is_empty() {
                break;
            }
            word = rest;
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_page() {
        let text = "slurry at 12 to 18 °C ".repeat(40);
        for line in wrap(&text, "  * ", "    ").lines() {
            assert!(width(line) <= WIDTH, "{line}");
            assert!(
                line.starts_with("  * ") || line.starts_with("    s") || line.starts_with("    ")
            );
        }
        let rows = vec![vec!["a".to_owned(), "long ".repeat(40)]];
        for line in table(&["one", "two"], &[Side::Left, Side::Left], &rows).lines() {
            assert!(width(line) <= WIDTH, "{line}");
        }
    }

    #[test]
    fn a_table_stands_on_its_columns() {
        let rows = vec![
            vec!["x".to_owned(), "1".to_owned()],
            vec!["yy".to_owned(), "23".to_owned()],
        ];
        let got = table(&["n", "num"], &[Side::Left, Side::Right], &rows);
        assert_eq!(got, "n   num\n--  ---\nx     1\nyy   23\n");
    }
}
