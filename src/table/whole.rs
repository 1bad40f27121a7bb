//! The tables: the shipped ones, with a shop's own laid on top.

use crate::quantity::Quantity;
use crate::table::column::Column;
use crate::table::fault::TableError;
use crate::table::read::Below;
use crate::table::read::read;
use crate::table::row::Row;
use crate::table::row::key;
use indexmap::IndexMap;
use std::sync::Arc;
use std::sync::LazyLock;

/// The shipped tables by name, each with its text.
pub const SHIPPED: &[(&str, &str)] = &[
    ("bolt", include_str!("bolt.csv")),
    ("bolt-grade", include_str!("bolt-grade.csv")),
    ("nut", include_str!("nut.csv")),
    ("washer", include_str!("washer.csv")),
    ("insert", include_str!("insert.csv")),
    ("screw-head", include_str!("screw-head.csv")),
    ("rod-end", include_str!("rod-end.csv")),
    ("bearing", include_str!("bearing.csv")),
    ("bush", include_str!("bush.csv")),
    ("tube", include_str!("tube.csv")),
    ("material", include_str!("material.csv")),
    ("filler", include_str!("filler.csv")),
    ("min-radius", include_str!("min-radius.csv")),
    ("bend-limit", include_str!("bend-limit.csv")),
    ("bend-limit-metric", include_str!("bend-limit-metric.csv")),
    ("bend-limit-steel", include_str!("bend-limit-steel.csv")),
    ("gauge", include_str!("gauge.csv")),
    ("process", include_str!("process.csv")),
    ("thread", include_str!("thread.csv")),
    ("jam-nut", include_str!("jam-nut.csv")),
    ("bung", include_str!("bung.csv")),
    ("spacer", include_str!("spacer.csv")),
    ("socket", include_str!("socket.csv")),
    ("hand-tool", include_str!("hand-tool.csv")),
    ("coating", include_str!("coating.csv")),
    ("hole-saw", include_str!("hole-saw.csv")),
    ("key", include_str!("key.csv")),
    ("drill", include_str!("drill.csv")),
    ("tolerance", include_str!("tolerance.csv")),
    ("sheet-tolerance", include_str!("sheet-tolerance.csv")),
    ("general-tolerance", include_str!("general-tolerance.csv")),
    ("cut-tolerance", include_str!("cut-tolerance.csv")),
];

/// The table of gauges: a row for each number, a column for each metal.
const GAUGE: &str = "gauge";

/// Rows of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    name: String,
    about: String,
    columns: Vec<Column>,
    rows: IndexMap<String, Arc<Row>>,
    /// Keys of other names, each with the key of the row that is meant.
    also: IndexMap<String, String>,
}

impl Table {
    /// Its name, `rod-end`.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What its first comment lines say.
    pub fn about(&self) -> &str {
        &self.about
    }

    /// Its fields, in the order of the file.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The field of this name.
    pub fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|c| c.name == name)
    }

    /// Its rows, in the order of the file; a laid row keeps the place of the one it replaces.
    pub fn rows(&self) -> impl ExactSizeIterator<Item = &Arc<Row>> {
        self.rows.values()
    }

    /// The row of this name, or that has it as another name. Case, blanks and inch marks do not
    /// count: `m8` finds `M8`, and `1/4"` and `1/4 in` find `1/4`.
    pub fn row(&self, name: &str) -> Option<&Arc<Row>> {
        let key = key(name);
        self.rows.get(&key).or_else(|| self.rows.get(self.also.get(&key)?))
    }

    /// All names of rows: their own, then the other names of each.
    pub fn called(&self) -> impl Iterator<Item = &str> {
        let also = self.rows().flat_map(|row| row.also());
        self.rows().map(|row| row.name()).chain(also)
    }
}

impl Below for Table {
    fn columns(&self) -> &[Column] {
        &self.columns
    }

    fn means(&self, name: &str) -> Option<&str> {
        self.row(name).map(|row| row.name())
    }
}

/// A row that replaced another of the same name.
#[derive(Clone, Debug, PartialEq)]
pub struct Shadowed {
    /// The line of the new row in the text added, counted from 1.
    pub line: usize,
    /// The row that no longer counts.
    pub was: Arc<Row>,
    /// The row that counts now.
    pub now: Arc<Row>,
}

/// All tables at hand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tables(IndexMap<String, Table>);

impl Tables {
    /// The tables compiled in.
    pub fn shipped() -> Self {
        // They are read once: a page needs them with each edit.
        static READ: LazyLock<Tables> = LazyLock::new(|| {
            let mut tables = Tables::default();
            for (name, text) in SHIPPED {
                tables.add(name, text).expect("the shipped tables can be read");
            }
            tables
        });
        READ.clone()
    }

    /// The names of the tables, in the order in which they were laid.
    pub fn names(&self) -> impl ExactSizeIterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// The table of exactly this name.
    pub fn table(&self, name: &str) -> Option<&Table> {
        self.0.get(name)
    }

    /// A row of a table; the row's name is compared as [`Table::row`] does.
    pub fn row(&self, table: &str, name: &str) -> Option<&Arc<Row>> {
        self.table(table)?.row(name)
    }

    /// Lays the text of a CSV file on top of the table `name`, or makes a new table of it. Rows are
    /// added; one whose name is there already replaces the whole old row and is reported. It keeps
    /// the other names of the old row; a row by one of these names is refused.
    ///
    /// The columns may be fewer than the table has, as long as its rows can be computed with; the rest is then
    /// not known of these rows.
    ///
    /// # Errors
    /// All errors of the text, in the order of its lines; then nothing is added.
    pub fn add(&mut self, name: &str, text: &str) -> Result<Vec<Shadowed>, Vec<TableError>> {
        let diameter =
            |table: &str, of: &str| Some(self.row(table, of)?.quantity("diameter")?.value);
        let layer = read(name, text, self.0.get(name).map(|table| table as &dyn Below), diameter)?;
        let table = self.0.entry(name.to_owned()).or_insert_with(|| Table {
            name: name.to_owned(),
            about: layer.about,
            columns: layer.columns.clone(),
            rows: IndexMap::new(),
            also: IndexMap::new(),
        });
        for laid in layer.columns {
            match table.columns.iter_mut().find(|c| c.name == laid.name) {
                Some(column) => column.kind = column.kind.or(laid.kind),
                None => table.columns.push(laid),
            }
        }
        let mut shadowed = Vec::new();
        for (line, row) in layer.rows {
            let now = Arc::new(row);
            table.also.extend(now.also().map(|other| (key(other), key(now.name()))));
            if let Some(was) = table.rows.insert(key(now.name()), Arc::clone(&now)) {
                shadowed.push(Shadowed { line, was, now });
            }
        }
        Ok(shadowed)
    }

    /// The thickness of a gauge of `steel`, `stainless` or `aluminium`; `None` for a number or a
    /// metal that is not in the table.
    pub fn gauge(&self, metal: &str, number: u8) -> Option<Quantity> {
        let metal = match metal.trim().to_lowercase() {
            american if american == "aluminum" => "aluminium".to_owned(),
            metal => metal,
        };
        self.row(GAUGE, &number.to_string())?.quantity(&metal)
    }
}
