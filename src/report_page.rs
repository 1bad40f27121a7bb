//! `report.html`: one page with everything a person asks of a job, that needs no network.
//!
//! It shows what `report.json` holds, with the pictures that are among the files. Pictures
//! are images within the page, each with words for those who do not see it; tables have
//! captions and heads; the page can be read by keyboard, printed, and follows the light
//! or dark of its reader.

mod findings;
mod parts;
mod sheets;
mod table;
mod tubes;

use crate::draw;
use crate::job::CAUTION;
use crate::job::Job;
use crate::job::OrderForm;
use crate::quantity::MM_PER_INCH;
use crate::quantity::Units;
use crate::report::Report;
use crate::solve::Solved;
use crate::write;
use crate::write::NamedFile;
use crate::write::escaped;
use serde_json::Value;
use std::fmt::Write;

/// Kilograms in a pound.
const KG_PER_LB: f64 = 0.453_592_37;

const STYLE: &str = include_str!("report_page/style.css");

/// Everything the page shows.
pub(crate) struct Page<'a> {
    job: &'a Job,
    solved: &'a [Solved],
    /// The report as readers of the file see it.
    report: Value,
    files: &'a [NamedFile],
}

/// The page of a job that was made; `files` are all others.
pub(crate) fn page(
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
const SECTIONS: [(&str, &str); 8] = [
    ("summary", "Summary"),
    ("findings", "Findings"),
    ("sheets", "Sheets"),
    ("parts", "Parts"),
    ("tubes", "Tubes and links"),
    ("cost", "Time and cost"),
    ("hardware", "Hardware"),
    ("files", "Files"),
];

impl Page<'_> {
    fn text(&self) -> String {
        let name = escaped(&self.job.name);
        let about = escaped(&self.job.about);
        let bodies = [
            self.summary(),
            self.findings(),
            self.sheets(),
            self.parts(),
            self.tubes(),
            self.cost(),
            self.hardware(),
            self.names(),
        ];
        // What a job has none of has no section.
        let sections: Vec<((&str, &str), String)> =
            SECTIONS.into_iter().zip(bodies).filter(|(_, body)| !body.is_empty()).collect();
        let links: String = sections
            .iter()
            .map(|((id, heading), _)| format!("<li><a href=\"#{id}\">{heading}</a></li>\n"))
            .collect();
        let sections: String = sections
            .into_iter()
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

    /// A long length in the units of the job: metres or feet.
    fn long(&self, mm: f64) -> String {
        match self.job.units {
            Units::Millimetre => format!("{:.2} m", mm / 1000.0),
            Units::Inch => format!("{:.2} ft", mm / (12.0 * MM_PER_INCH)),
        }
    }

    /// A mass in the units of the job.
    fn mass(&self, kg: f64, digits: usize) -> String {
        match self.job.units {
            Units::Millimetre => format!("{kg:.digits$} kg"),
            Units::Inch => format!("{:.digits$} lb", kg / KG_PER_LB),
        }
    }

    fn summary(&self) -> String {
        let totals = &self.report["totals"];
        let number = |key: &str| totals[key].as_f64().unwrap_or(0.0);
        let mut rows = vec![
            ("Different parts", format!("{}", number("parts"))),
            ("Pieces placed", format!("{} of {}", number("placed"), number("pieces"))),
            ("Sheets used", format!("{}", number("sheets"))),
            ("Material yield", format!("{:.1} %", number("yield_percent"))),
            ("Mass of the parts", self.mass(number("mass_kg"), 2)),
            ("Cut length", self.long(number("cut_length_mm"))),
            ("Pierces", format!("{}", number("pierces"))),
            ("Process", self.job.process.name().to_owned()),
        ];
        let currency = self.job.rates().map_or("", |rates| rates.currency.as_str());
        let price = |price: f64| format!("{price:.2} {currency}").trim_end().to_owned();
        if let Some(cost) = totals.get("cost").and_then(Value::as_f64) {
            rows.push(("Cost of the sheets", price(cost)));
        }
        if let Some(sum) = self.price_of_all() {
            rows.push(("Price of the parts", price(sum)));
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
            out.push_str("<p class=\"caution\">Pieces that could not be placed:</p>\n<ul>\n");
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
                let words = worded(load["words"].as_str().unwrap_or_default());
                let _ = writeln!(out, "<li>{words}</li>");
            }
            out.push_str("</ul>\n");
        }
        out
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
        let drawing = draw::drawn(self.job, part, OrderForm::default());
        image(write::svg(&drawing).as_bytes(), alt)
    }
}

/// Words for the page: what stands between backticks is set as code.
fn worded(text: &str) -> String {
    let mut out = String::new();
    for (i, piece) in text.split('`').enumerate() {
        let piece = escaped(piece);
        match i % 2 {
            0 => out.push_str(&piece),
            _ => out.push_str(&format!("<code>{piece}</code>")),
        }
    }
    out
}

/// A number of things in words: `1 hole`, `4 holes`.
fn counted(count: usize, what: &str) -> String {
    format!("{count} {what}{}", if count == 1 { "" } else { "s" })
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
    fn what_stands_in_backticks_is_code_and_nothing_is_markup() {
        assert_eq!(worded("hole `a<b` & bolt"), "hole <code>a&lt;b</code> &amp; bolt");
    }

    #[test]
    fn a_picture_in_an_address_has_no_letter_that_ends_it() {
        let text = address("<svg a=\"#1\">ø&%</svg>\n".as_bytes());
        assert_eq!(text, "data:image/svg+xml,%3Csvg a=%22%231%22%3E%C3%B8%26%25%3C/svg%3E%0A");
    }
}
