//! Order packages: for each metal and thickness one zip that a cutting service can work from.
//!
//! It contains the flats as DXF, each with part, quantity, material and thickness in its name,
//! their list, the drawings, and a read-me. Beside it is a list of the checksums of all that was
//! sent. The zip carries no date: its files have the earliest one that the format allows.

mod names;
mod read_me;

use crate::diag::Finding;
use crate::draw;
use crate::history::checksum;
use crate::job::Job;
use crate::num;
use crate::solve;
use crate::solve::Solved;
use crate::write;
use crate::write::NamedFile;
use crate::write::csv;
use rayon::prelude::*;
use serde::Serialize;
use std::fmt::Write as _;
use std::io::Cursor;
use std::io::Write as _;
use zip::CompressionMethod;
use zip::DateTime;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// The folder of the packages.
pub(crate) const FOLDER: &str = "order";

/// The packages of a job; `drawings` are those of its parts.
///
/// # Errors
/// When a flat does not read back as drawn, or a package cannot be packed.
pub(crate) fn packages(
    job: &Job,
    solved: &[Solved],
    drawings: &[NamedFile],
) -> Result<Vec<NamedFile>, Finding> {
    let groups = groups(job, solved);
    let made = groups.par_iter().with_max_len(1).map(|g| package(job, solved, g, drawings));
    // Of several that fail the first.
    let made: Vec<Result<[NamedFile; 2], Finding>> = made.collect();
    made.into_iter().collect::<Result<Vec<_>, _>>().map(|made| made.into_iter().flatten().collect())
}

/// The package of a group, and the checksums of all in it.
fn package(
    job: &Job,
    solved: &[Solved],
    group: &Group,
    drawings: &[NamedFile],
) -> Result<[NamedFile; 2], Finding> {
    let name = &group.name;
    let inside = inside(job, solved, group, drawings)?;
    let zip = NamedFile { name: format!("{FOLDER}/{name}.zip"), bytes: pack(name, &inside)? };
    let mut checksums = format!("{}  {name}.zip\n", checksum(&zip.bytes));
    for file in &inside {
        // Writing to a string cannot fail.
        let _ = writeln!(checksums, "{}  {name}/{}", checksum(&file.bytes), file.name);
    }
    let list = format!("{FOLDER}/{name}.sha256");
    Ok([zip, NamedFile { name: list, bytes: checksums.into_bytes() }])
}

/// The parts of one metal and thickness.
struct Group {
    name: String,
    parts: Vec<usize>,
    /// The names of their flats, without the ending.
    files: Vec<String>,
}

fn groups(job: &Job, solved: &[Solved]) -> Vec<Group> {
    let mut groups: Vec<((String, u64), Group)> = Vec::new();
    let mut taken = Vec::new();
    // What only fills sheets is not ordered.
    let ordered = |part: &Solved| solve::pieces(job, part) > 0;
    for (index, part) in solved.iter().enumerate().filter(|(_, part)| ordered(part)) {
        let sheet = &job.sheets[part.sheet];
        let key = (sheet.material.name().to_owned(), sheet.thickness.to_bits());
        let at = groups.iter().position(|(other, _)| *other == key).unwrap_or_else(|| {
            let words = format!("{}-{}", key.0, job.units.size(sheet.thickness));
            let name = names::safe(&words, &mut taken);
            groups.push((key, Group { name, parts: Vec::new(), files: Vec::new() }));
            groups.len() - 1
        });
        groups[at].1.parts.push(index);
    }
    for (_, group) in &mut groups {
        let mut taken = vec!["list".to_owned(), "read-me".to_owned()];
        let name = |index: &usize| names::safe(&read_me::flat(job, &solved[*index]), &mut taken);
        group.files = group.parts.iter().map(name).collect();
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// The flats of an order as they would be sent today: name without ending, and part.
pub(crate) fn sent(job: &Job, solved: &[Solved]) -> Vec<(String, usize)> {
    let groups = groups(job, solved);
    groups.into_iter().flat_map(|g| g.files.into_iter().zip(g.parts)).collect()
}

/// The packages of an order as they would be sent today: name, and the parts in each.
#[cfg_attr(not(feature = "page"), allow(dead_code, reason = "only the page shows it"))]
pub(crate) fn contents(job: &Job, solved: &[Solved]) -> Vec<(String, Vec<usize>)> {
    groups(job, solved).into_iter().map(|group| (group.name, group.parts)).collect()
}

fn inside(
    job: &Job,
    solved: &[Solved],
    group: &Group,
    files: &[NamedFile],
) -> Result<Vec<NamedFile>, Finding> {
    let form = job.order;
    let mut inside = Vec::new();
    let mut rows = Vec::new();
    for (index, stem) in group.parts.iter().zip(&group.files) {
        let part = &solved[*index];
        let drawing = draw::drawn(job, part, form);
        let name = format!("{stem}.dxf");
        let bytes = write::dxf(&drawing, form.dialect);
        write::compare(&drawing, &bytes).map_err(|mismatch| {
            let headline = format!("{name} does not read back as drawn: {mismatch}");
            Finding::internal("read-back", headline)
        })?;
        rows.push(row(job, part, &name, &bytes));
        inside.push(NamedFile { name, bytes });
        let printed = format!("drawings/{}.pdf", part.name);
        if let Some(printed) = files.iter().find(|file| file.name == printed) {
            inside.push(NamedFile { name: format!("{stem}.pdf"), bytes: printed.bytes.clone() });
        }
    }
    inside.push(csv("list.csv", job.units, rows)?);
    let text = read_me::read_me(job, solved, &group.parts, form);
    inside.push(NamedFile { name: "read-me.txt".into(), bytes: text.into_bytes() });
    Ok(inside)
}

/// A row of the list in a package.
#[derive(Serialize)]
struct ListRow {
    file: String,
    part: String,
    issue: String,
    geometry: String,
    pieces: u32,
    material: String,
    thickness_mm: String,
    thickness: String,
    length_mm: String,
    width_mm: String,
    area_mm2: String,
    cut_length_mm: String,
    pierces: usize,
    bends: usize,
    sha256: String,
}

fn row(job: &Job, part: &Solved, name: &str, bytes: &[u8]) -> ListRow {
    let sheet = &job.sheets[part.sheet];
    let region = &part.flat.region;
    let bounds = region.bounds();
    ListRow {
        file: name.to_owned(),
        part: part.name.clone(),
        issue: part.issue.name(job).unwrap_or_default().to_owned(),
        geometry: part.issue.geometry.clone(),
        pieces: solve::pieces(job, part),
        material: sheet.material.name().to_owned(),
        thickness_mm: num::file_text(sheet.thickness),
        thickness: job.units.size(sheet.thickness),
        length_mm: num::file_text(bounds.width()),
        width_mm: num::file_text(bounds.height()),
        area_mm2: num::file_text(region.area()),
        cut_length_mm: num::file_text(region.length()),
        pierces: 1 + region.holes().len(),
        bends: part.part.bends.len(),
        sha256: checksum(bytes),
    }
}

/// The bytes of a zip. The same files give the same bytes.
fn pack(folder: &str, files: &[NamedFile]) -> Result<Vec<u8>, Finding> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::DEFAULT)
        .unix_permissions(0o644);
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let fault = |error: String| {
        Finding::internal("order", format!("the package {folder} cannot be packed: {error}"))
    };
    for file in files {
        let name = format!("{folder}/{}", file.name);
        zip.start_file(name, options).map_err(|e| fault(e.to_string()))?;
        zip.write_all(&file.bytes).map_err(|e| fault(e.to_string()))?;
    }
    zip.finish().map(Cursor::into_inner).map_err(|e| fault(e.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_files_give_the_same_zip() {
        let files = [NamedFile { name: "list.csv".into(), bytes: b"a,b\r\n".repeat(100).to_vec() }];
        let [a, b] = [pack("S235-4mm", &files).unwrap(), pack("S235-4mm", &files).unwrap()];
        assert_eq!(a, b);
        assert!(a.starts_with(b"PK") && a.len() < 400);
    }
}
