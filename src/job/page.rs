//! `report.html`: one page with everything a person asks of a job, that needs no network.
//!
//! It shows what `report.json` holds, with the pictures that are among the files. Pictures
//! are images within the page, each with words for those who do not see it; tables have
//! captions and heads; the page can be read by keyboard, printed, and follows the light
//! or dark of its reader.

mod parts;
mod table;

use crate::job::CAUTION;
use crate::job::Job;
use crate::job::NamedFile;
use crate::job::OrderForm;
use crate::job::Report;
use crate::job::Solved;
use crate::job::parcel;
use crate::write;
use crate::write::escaped;
use serde_json::Value;
use std::fmt::Write;
use table::Table;

const STYLE: &str = include_str!("page/style.css");

/// Everything the page shows.
pub(super) struct Page<'a> {
    job: &'a Job,
    solved: &'a [Solved],
    /// The report as readers of the file see it.
    report: Value,
    files: &'a [NamedFile],
}

/// The page of a job that was made; `files` are all others.
pub(super) fn page(
    job: &Job,
    solved: &[Solved],
    report: &Report,
    files: &[NamedFile],
) -> NamedFile {
    // A report that cannot be written has stopped the job before.
    let report = serde_json::to_value(report).unwrap_or_default();
    let page = Page { job, solved, report, files };
    NamedFile { name: "report.html".into(), bytes: page.text().into_bytes() }
}

/// The sections: the name of the place in the page, the heading.
const SECTIONS: [(&str, &str); 7] = [
    ("summary", "Summary"),
    ("findings", "Findings"),
    ("sheets", "Sheets"),
    ("parts", "Parts"),
    ("cost", "Time and cost"),
    ("hardware", "Hardware"),
    ("files", "Files"),
];

impl Page<'_> {
    fn text(&self) -> String {
        let name = escaped(&self.job.name);
        let about = escaped(&self.job.about);
        let links: String = SECTIONS
            .map(|(id, heading)| format!("<li><a href=\"#{id}\">{heading}</a></li>\n"))
            .concat();
        let bodies = [
            self.summary(),
            self.findings(),
            self.sheets(),
            self.parts(),
            self.cost(),
            self.hardware(),
            self.names(),
        ];
        let sections: String = SECTIONS
            .iter()
            .zip(bodies)
            .map(|((id, heading), body)| {
                format!(
                    "<section id=\"{id}\" aria-labelledby=\"{id}-heading\">\n\
                     <h2 id=\"{id}-heading\">{heading}</h2>\n{body}</section>\n"
                )
            })
            .collect();
        let version = env!("CARGO_PKG_VERSION");
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <meta name=\"color-scheme\" content=\"light dark\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">\n\
             <link rel=\"icon\" href=\"data:,\">\n\
             <title>{name}: report</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n\
             <a class=\"skip\" href=\"#main\">Skip to the report</a>\n\
             <header>\n<h1>{name}</h1>\n<p>{about}</p>\n<p class=\"caution\">{CAUTION}</p>\n</header>\n\
             <nav aria-label=\"Sections\">\n<ul>\n{links}</ul>\n</nav>\n\
             <main id=\"main\" tabindex=\"-1\">\n{sections}</main>\n\
             <footer>\n<p>Made by platewright {version}. The same numbers for programs: <a href=\"report.json\">report.json</a>.</p>\n</footer>\n\
             </body>\n</html>\n"
        )
    }

    fn list<'v>(&self, of: &'v Value, key: &str) -> &'v [Value] {
        of.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
    }

    /// A length in the units of the job.
    fn length(&self, mm: Option<&Value>) -> String {
        mm.and_then(Value::as_f64).map_or_else(String::new, |mm| self.job.units.length(mm))
    }

    fn summary(&self) -> String {
        let totals = &self.report["totals"];
        let number = |key: &str| totals[key].as_f64().unwrap_or(0.0);
        let mut rows = vec![
            ("Different parts", format!("{}", number("parts"))),
            ("Pieces placed", format!("{} of {}", number("placed"), number("pieces"))),
            ("Sheets used", format!("{}", number("sheets"))),
            ("Share of the sheets that becomes parts", format!("{:.1} %", number("usage_percent"))),
            ("Mass of the parts", format!("{:.2} kg", number("mass_kg"))),
            ("Length of all cuts", format!("{:.2} m", number("cut_length_mm") / 1000.0)),
            ("Pierces", format!("{}", number("pierces"))),
            ("Way of cutting", self.job.process.name().to_owned()),
        ];
        if let Some(cost) = totals.get("cost").and_then(Value::as_f64) {
            rows.push(("Price of the sheets", format!("{cost:.2}")));
        }
        if let Some(saved) = totals.get("saved_by_common_cuts_mm").and_then(Value::as_f64) {
            rows.push(("Saved by common cuts", format!("{:.2} m", saved / 1000.0)));
        }
        let mut out = String::from("<dl>\n");
        for (name, value) in rows {
            // Writing to a string cannot fail.
            let _ = writeln!(out, "<div><dt>{name}</dt><dd>{}</dd></div>", escaped(&value));
        }
        out.push_str("</dl>\n");
        let missing = self.list(&self.report, "not_placed");
        if !missing.is_empty() {
            out.push_str("<p class=\"caution\">Not everything found a place:</p>\n<ul>\n");
            for row in missing {
                let part = escaped(row["part"].as_str().unwrap_or_default());
                let _ = writeln!(out, "<li>{} × {part}</li>", row["quantity"]);
            }
            out.push_str("</ul>\n");
        }
        let strength = &self.report["strength"];
        let loads = self.list(strength, "loads");
        if !loads.is_empty() {
            let caution = escaped(strength["caution"].as_str().unwrap_or(CAUTION));
            let _ = writeln!(out, "<h3>Loads</h3>\n<p class=\"caution\">{caution}</p>\n<ul>");
            for load in loads {
                let words = escaped(load["words"].as_str().unwrap_or_default());
                let _ = writeln!(out, "<li>{words}</li>");
            }
            out.push_str("</ul>\n");
        }
        out
    }

    fn findings(&self) -> String {
        let findings = self.list(&self.report, "findings");
        if findings.is_empty() {
            return "<p>Nothing was found that needs a second look.</p>\n".into();
        }
        let mut out = String::from("<ul class=\"findings\">\n");
        for finding in findings {
            let text = |key: &str| escaped(finding[key].as_str().unwrap_or_default());
            let _ = writeln!(
                out,
                "<li>\n<h3><span class=\"weight\">{}</span> {}</h3>\n<p><code>{}</code> {}</p>",
                text("weight"),
                text("headline"),
                text("code"),
                text("place")
            );
            for note in self.list(finding, "notes") {
                let _ = writeln!(out, "<p>{}</p>", escaped(note.as_str().unwrap_or_default()));
            }
            if !text("help").is_empty() {
                let _ = writeln!(out, "<p>What to do: {}</p>", text("help"));
            }
            let words = finding.to_string();
            let named = |s: &&Solved| words.contains(&format!("`{}`", s.name));
            if let Some(part) = self.solved.iter().find(named) {
                out.push_str(&self.flat(part, &format!("Flat of {}", part.name)));
            }
            out.push_str("</li>\n");
        }
        out.push_str("</ul>\n");
        out
    }

    fn sheets(&self) -> String {
        let mut table = Table::new(
            "sheet-table",
            "How full each sheet is, and how full it could be at the most where that is known",
            &["Sheet", "Size", "Used", "Cannot exceed", "Cut length", "Pierces", "Least gap"],
        );
        let mut pictures = String::new();
        for sheet in self.list(&self.report, "sheets") {
            let file = sheet["file"].as_str().unwrap_or_default();
            let name = file.trim_start_matches("sheets/").trim_end_matches(".dxf");
            let size = format!(
                "{} × {}",
                self.length(sheet["size_mm"].get(0)),
                self.length(sheet["size_mm"].get(1))
            );
            // The share of the used length where that is known, and the bound beside it.
            let used = sheet.get("used");
            let percent = |value: Option<&Value>| {
                value
                    .and_then(Value::as_f64)
                    .map_or_else(|| "–".to_owned(), |p| format!("{p:.1} %"))
            };
            let share = used.map_or(sheet.get("usage_percent"), |used| used.get("gross_percent"));
            table.row([
                name.to_owned(),
                size.clone(),
                percent(share),
                percent(used.and_then(|used| used.get("most_percent"))),
                format!("{:.2} m", sheet["cut_length_mm"].as_f64().unwrap_or(0.0) / 1000.0),
                sheet["pierces"].to_string(),
                self.length(sheet.get("least_gap_mm")),
            ]);
            let pieces = self.list(sheet, "placed").len();
            let alt = format!("Sheet {name}, {size}, with {pieces} pieces on it");
            let svg = file.replace(".dxf", ".svg");
            let _ = write!(
                pictures,
                "<figure class=\"sheet\">\n{}<figcaption>{}</figcaption>\n</figure>\n",
                self.picture(&svg, &alt),
                escaped(&alt)
            );
        }
        table.text() + &pictures
    }

    fn names(&self) -> String {
        let names = self.files.iter().map(|file| &file.name);
        let items: String = names
            .map(|name| {
                let name = escaped(name);
                format!("<li><a href=\"{name}\">{name}</a></li>\n")
            })
            .collect();
        format!("<ul class=\"files\">\n{items}</ul>\n")
    }

    /// A picture among the files as an image; nothing when it is not there.
    fn picture(&self, file: &str, alt: &str) -> String {
        let file = self.files.iter().find(|f| f.name == file);
        file.map_or_else(String::new, |file| image(&file.bytes, alt))
    }

    /// The flat of a part alone, without the words below it.
    fn flat(&self, part: &Solved, alt: &str) -> String {
        let drawing = parcel::drawn(self.job, part, OrderForm::default());
        image(write::svg(&drawing).as_bytes(), alt)
    }
}

fn image(svg: &[u8], alt: &str) -> String {
    format!("<img src=\"{}\" alt=\"{}\" loading=\"lazy\">\n", address(svg), escaped(alt))
}

/// An SVG as an address that holds it: what addresses cannot hold is written by its number.
fn address(svg: &[u8]) -> String {
    let mut out = String::from("data:image/svg+xml,");
    for byte in svg {
        match byte {
            b'\n' => out.push_str("%0A"),
            b'%' | b'#' | b'"' | b'<' | b'>' | b'&' | b'{' | b'}' | 0..=31 | 127.. => {
                let _ = write!(out, "%{byte:02X}");
            }
            _ => out.push(char::from(*byte)),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_in_an_address_has_no_letter_that_ends_it() {
        let text = address("<svg a=\"#1\">ø&%</svg>\n".as_bytes());
        assert_eq!(text, "data:image/svg+xml,%3Csvg a=%22%231%22%3E%C3%B8%26%25%3C/svg%3E%0A");
    }
}
