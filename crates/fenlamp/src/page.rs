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

/// A table with a rule under its head. Cells of the last column are cut to fit
/// [`WIDTH`] when `cut` says so, with an ellipsis.
pub fn table(head: &[&str], sides: &[Side], rows: &[Vec<String>]) -> String {
    let columns = head.len();
    let mut widths: Vec<usize> = head.iter().map(|h| width(h)).collect();
    for row in rows {
        for (w, cell) in widths.iter_mut().zip(row) {
            *w = (*w).max(width(cell));
        }
    }
    let others: usize = widths[..columns - 1].iter().map(|w| w + 2).sum();
    widths[columns - 1] = widths[columns - 1].min(WIDTH.saturating_sub(others).max(8));
    let mut out = String::new();
    let mut line = |cells: &mut dyn Iterator<Item = String>| {
        let mut text = String::new();
        for (i, cell) in cells.enumerate().take(columns) {
            if i > 0 {
                text.push_str("  ");
            }
            let cell = cut(&cell, widths[i]);
            let gap = " ".repeat(widths[i].saturating_sub(width(&cell)));
            match sides[i] {
                Side::Left => text.extend([cell.as_str(), &gap]),
                Side::Right => text.extend([gap.as_str(), &cell]),
            }
        }
        out.push_str(text.trim_end());
        out.push('\n');
    };
    line(&mut head.iter().map(|h| (*h).to_owned()));
    line(&mut widths.iter().map(|w| "-".repeat(*w)));
    for row in rows {
        line(&mut row.iter().cloned());
    }
    out
}

/// Cut to `most` columns with an ellipsis.
fn cut(text: &str, most: usize) -> String {
    if width(text) <= most {
        return text.to_owned();
    }
    let kept: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", kept.trim_end())
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
