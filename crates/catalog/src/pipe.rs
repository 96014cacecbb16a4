//! Pipe and the hubs that take it, by size. Tables: `pipe.csv`, `socket.csv`. What does not belong here: fittings.

use crate::{
    Dim, How,
    table::{TableError, each_row, missing},
};
use std::{collections::BTreeMap, sync::Arc};
use units::Size;

/// Schedule 40 PVC drain pipe of one size, and the hub of a fitting for it.
#[derive(Clone, PartialEq, Debug)]
pub struct Pipe {
    /// The nominal size.
    pub size: Size,
    /// Average outside diameter, inches.
    pub od: f64,
    /// Tolerance on the average outside diameter, inches either way.
    pub od_tolerance: f64,
    /// Largest difference between the greatest and the least outside diameter, inches.
    pub out_of_round: f64,
    /// Least wall, inches.
    pub wall: f64,
    /// Greatest wall, inches.
    pub wall_most: f64,
    /// Average inside diameter as extruded, inches: for the water it holds.
    pub id_average: f64,
    /// Weight of the empty pipe, lb per ft.
    pub weight: f64,
    /// Usual stick lengths, inches, shortest first.
    pub stock: Vec<f64>,
    /// How far a pipe enters a hub, mouth to stop: `ASTM D2665`, least value. A drain hub, never a pressure hub.
    pub socket_depth: Dim,
    /// Outside diameter of a hub.
    pub hub_od: Dim,
    /// Bore of a hub at its mouth and at its stop, for drawing only.
    pub socket_bores: (Dim, Dim),
    /// Where outside diameter, wall, bore and weight come from.
    pub source: Arc<str>,
}

/// Thermal movement of PVC, inches per inch and degree F: 0.36 in per 100 ft and 10 F. From memory of plastic pipe
/// handbooks (coefficient 3.0e-5 per F).
pub const EXPANSION_PER_F: f64 = 3.0e-5;

/// Density of PVC, lb per cubic foot. Read: a municipal sheet on pipe buoyancy.
pub const PVC_DENSITY: f64 = 86.0;

impl Pipe {
    /// The bore that inverts and hydraulic tables use, inches: outside diameter less two least walls.
    pub fn id(&self) -> f64 {
        self.od - 2.0 * self.wall
    }

    /// The least bore, inches: for what must pass through (a plug, a camera).
    pub fn id_least(&self) -> f64 {
        self.od - 2.0 * self.wall_most
    }

    /// Water in a full pipe, US gallons per foot, from the average bore (231 cubic inches a gallon).
    pub fn gallons_per_ft(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.id_average * self.id_average * 12.0 / 231.0
    }

    /// The shortest pipe that can join two hubs: two sockets and a quarter inch between the mouths, inches.
    pub fn shortest_piece(&self) -> f64 {
        2.0 * self.socket_depth.value + 0.25
    }
}

type Cells = BTreeMap<(Size, String), (String, f64, How, Arc<str>)>;

/// Reads both tables; the array is in the order of [`Size::ALL`].
pub(crate) fn read(pipe: &str, socket: &str) -> Result<[Pipe; 6], TableError> {
    let pipes = cells("pipe.csv", pipe, "note")?;
    let sockets = cells("socket.csv", socket, "may_be_off_by")?;
    let one = |size| of_size(size, &pipes, &sockets);
    let [a, b, c, d, e, f] = Size::ALL;
    Ok([one(a)?, one(b)?, one(c)?, one(d)?, one(e)?, one(f)?])
}

fn cells(table: &'static str, text: &str, doubt: &str) -> Result<Cells, TableError> {
    let mut out = Cells::new();
    each_row(table, text, |row| {
        // Rows for "all" sizes are facts about the material; they stand as constants above, with their sources.
        if row.text("size")? == "all" {
            return Ok(());
        }
        let Some(size) = row.size("size")? else {
            return Err(row.wrong("no size".into()));
        };
        let off = if doubt == "may_be_off_by" {
            row.number_or_zero(doubt)?
        } else {
            0.0
        };
        let value = (
            row.text("value")?.to_owned(),
            off,
            row.how()?,
            row.text("source")?.into(),
        );
        out.insert((size, row.text("property")?.to_owned()), value);
        Ok(())
    })?;
    Ok(out)
}

fn of_size(size: Size, pipes: &Cells, sockets: &Cells) -> Result<Pipe, TableError> {
    let plain = |property: &str| dim("pipe.csv", pipes, size, property).map(|d| d.value);
    let hub = |property: &str| dim("socket.csv", sockets, size, property);
    Ok(Pipe {
        size,
        od: plain("od")?,
        od_tolerance: plain("od_tol")?,
        out_of_round: plain("out_of_round_max")?,
        wall: plain("wall_min")?,
        wall_most: plain("wall_max_mm")? / 25.4,
        id_average: plain("id_average")?,
        weight: plain("weight")?,
        stock: stock(size, pipes)?,
        socket_depth: hub("socket_depth")?,
        hub_od: hub("hub_od")?,
        socket_bores: (hub("socket_entrance_dia")?, hub("socket_bottom_dia")?),
        source: dim("pipe.csv", pipes, size, "od")?.source,
    })
}

fn dim(table: &'static str, cells: &Cells, size: Size, property: &str) -> Result<Dim, TableError> {
    let (text, doubt, how, source) = cell(table, cells, size, property)?;
    let value = text.parse::<f64>().ok().filter(|v| v.is_finite());
    let value = value.ok_or_else(|| {
        missing(
            table,
            format!("{text:?} for {property} of {size} is not a number"),
        )
    })?;
    Ok(Dim {
        value,
        doubt: *doubt,
        how: *how,
        source: source.clone(),
    })
}

fn cell<'a>(
    table: &'static str,
    cells: &'a Cells,
    size: Size,
    property: &str,
) -> Result<&'a (String, f64, How, Arc<str>), TableError> {
    let found = cells.get(&(size, property.to_owned()));
    found.ok_or_else(|| missing(table, format!("no row for {property} of {size} pipe")))
}

fn stock(size: Size, cells: &Cells) -> Result<Vec<f64>, TableError> {
    let (text, ..) = cell("pipe.csv", cells, size, "stock_length")?;
    let feet: Option<Vec<f64>> = text.split(';').map(|part| part.parse().ok()).collect();
    let feet =
        feet.ok_or_else(|| missing("pipe.csv", format!("{text:?} is no list of stock lengths")))?;
    Ok(feet.into_iter().map(|ft| ft * 12.0).collect())
}
