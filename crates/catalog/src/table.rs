//! Reading the embedded tables: cells into numbers, with the table and line in every complaint.
//! What does not belong here: what a column means.

use crate::How;
use std::fmt;
use units::Size;

/// A table shipped with the program cannot be used. Tests read every table, so a user never meets this.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct TableError {
    /// The table's file name.
    pub(crate) table: &'static str,
    /// Line in the table, 1 for the header; 0 when it is about the whole table.
    pub(crate) line: u64,
    /// What is wrong.
    pub(crate) says: String,
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (line {} of {})", self.says, self.line, self.table)
    }
}

impl std::error::Error for TableError {}

/// One row, its columns found by name.
pub(crate) struct Row<'a> {
    table: &'static str,
    head: &'a csv::StringRecord,
    cells: &'a csv::StringRecord,
}

impl Row<'_> {
    pub(crate) fn text(&self, column: &str) -> Result<&str, TableError> {
        let at = self.head.iter().position(|name| name == column);
        let cell = at.and_then(|i| self.cells.get(i));
        cell.ok_or_else(|| self.wrong(format!("no column {column:?}")))
    }

    pub(crate) fn number(&self, column: &str) -> Result<f64, TableError> {
        let text = self.text(column)?;
        let value = text.parse::<f64>().ok().filter(|v| v.is_finite());
        value.ok_or_else(|| self.wrong(format!("{text:?} in {column} is not a number")))
    }

    /// 0 when the cell is empty.
    pub(crate) fn number_or_zero(&self, column: &str) -> Result<f64, TableError> {
        if self.text(column)?.is_empty() {
            Ok(0.0)
        } else {
            self.number(column)
        }
    }

    pub(crate) fn size(&self, column: &str) -> Result<Option<Size>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        Size::parse(text)
            .map(Some)
            .map_err(|error| self.wrong(error.to_string()))
    }

    pub(crate) fn how(&self) -> Result<How, TableError> {
        let text = self.text("how")?;
        How::named(text).ok_or_else(|| self.wrong(format!("{text:?} is no way of knowing")))
    }

    pub(crate) fn wrong(&self, says: String) -> TableError {
        let line = self.cells.position().map_or(0, csv::Position::line);
        TableError {
            table: self.table,
            line,
            says,
        }
    }
}

/// Calls `take` on every row of `text`, in order, until one fails.
pub(crate) fn each_row(
    table: &'static str,
    text: &str,
    mut take: impl FnMut(&Row<'_>) -> Result<(), TableError>,
) -> Result<(), TableError> {
    let torn = |error: csv::Error| TableError {
        table,
        line: 0,
        says: error.to_string(),
    };
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().map_err(torn)?.clone();
    for cells in reader.records() {
        let cells = cells.map_err(torn)?;
        take(&Row {
            table,
            head: &head,
            cells: &cells,
        })?;
    }
    Ok(())
}

/// A complaint about a whole table.
pub(crate) fn missing(table: &'static str, says: String) -> TableError {
    TableError {
        table,
        line: 0,
        says,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_cell_names_its_line() {
        let text = "size,inches\n3,1.5\n4,deep\n";
        let error = each_row("socket.csv", text, |row| row.number("inches").map(drop)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "\"deep\" in inches is not a number (line 3 of socket.csv)"
        );
    }
}
