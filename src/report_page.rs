//! `report.html`: one page with everything a person asks of a job, that needs no network.
//!
//! It shows what `report.json` holds, with the pictures that are among the files. Pictures
//! are images within the page, each with words for those who do not see it; tables have
//! captions and heads; the page can be read by keyboard, printed, and follows the light
//! or dark of its reader.

mod findings;
mod masking;
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
use std::fmt::Write;

/// Kilograms in a pound.
const KG_PER_LB: f64 = 0.453_592_37;

const STYLE: &str = include_str!("report_page/style.css");

/// Everything the page shows.
pub(crate) struct Page<'a> {
    job: &'a Job,
    solved: &'a [Solved],
    report: &'a Report,
    files: &'a [NamedFile],
}

/// The page of a job that was made; `files` are all others.
pub(crate) fn page(
    job: &Job,
    solved: &[Solved],
    report: &Report,
    files: &[NamedFile],
) -> NamedFile {
    let page = Page { job, solved, report, files };
    NamedFile { name: "report.html".into(), bytes: page.text().into_bytes() }
}

/// The sections: the name of the place in the page, the heading.
const SECTIONS: [(&str, &str); 9] = [
    ("summary", "Summary"),
    ("findings", "Findings"),
    ("sheets", "Sheets"),
    ("parts", "Parts"),
    ("tubes", "Tubes and links"),
    ("cost", "Time and cost"),
    ("hardware", "Hardware"),
    ("masking", "Plug and mask"),
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
            self.masking(),
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

    /// A length in the units of the job; nothing where there is none.
    fn length(&self, mm: Option<f64>) -> String {
        mm.map_or_else(String::new, |mm| self.job.units.length(mm))
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
        let totals = &self.report.totals;
        let mut rows = vec![
            ("Different parts", totals.parts.to_string()),
            ("Pieces placed", format!("{} of {}", totals.placed, totals.pieces)),
            ("Sheets used", totals.sheets.to_string()),
            ("Material yield", format!("{:.1} %", totals.yield_percent)),
            ("Mass of the parts", self.mass(totals.mass_kg, 2)),
            ("Cut length", self.long(totals.cut_length_mm)),
            ("Pierces", totals.pierces.to_string()),
            ("Process", self.job.process.name().to_owned()),
        ];
        let currency = self.job.rates().map_or("", |rates| rates.currency.as_str());
        let price = |price: f64| format!("{price:.2} {currency}").trim_end().to_owned();
        if let Some(cost) = totals.cost {
            rows.push(("Cost of the sheets", price(cost)));
        }
        if let Some(sum) = self.price_of_all() {
            rows.push(("Price of the parts", price(sum)));
        }
        if let Some(saved) = totals.saved_by_common_cuts_mm {
            rows.push(("Saved by common cuts", format!("{:.2} m", saved / 1000.0)));
        }
        let mut out = String::from("<dl>\n");
        for (name, value) in rows {
            // Writing to a string cannot fail.
            let _ = writeln!(out, "<div><dt>{name}</dt><dd>{}</dd></div>", escaped(&value));
        }
        out.push_str("</dl>\n");
        let missing = &self.report.not_placed;
        if !missing.is_empty() {
            out.push_str("<p class=\"caution\">Pieces that could not be placed:</p>\n<ul>\n");
            for row in missing {
                let _ = writeln!(out, "<li>{} × {}</li>", row.quantity, escaped(&row.part));
            }
            out.push_str("</ul>\n");
        }
        if let Some(strength) = &self.report.strength {
            let caution = escaped(strength.caution);
            let _ = writeln!(out, "<h3>Loads</h3>\n<p class=\"caution\">{caution}</p>\n<ul>");
            for load in &strength.loads {
                let _ = write!(out, "<li>{}", worded(&load.words));
                for remark in load.remarks() {
                    let _ = write!(out, "<br>{}", worded(&remark));
                }
                out.push_str("</li>\n");
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
        image(write::tinted(&drawing).as_bytes(), alt)
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
