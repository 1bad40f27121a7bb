//! A file before it is on a disk.

/// A file by its name within the job's folder, parts of the name joined by `/`.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedFile {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// The folders that files of a job lie in.
const FOLDERS: [&str; 9] =
    ["drawings", "flats", "folded", "order", "r12", "sheets", "stopped", "templates", "tubes"];

impl NamedFile {
    /// Whether it lies right in the job's folder, or in one of its known folders, on every system.
    pub fn stays_within(&self) -> bool {
        let name = match self.name.split_once('/') {
            None => &self.name,
            Some((folder, name)) if FOLDERS.contains(&folder) => name,
            Some(_) => return false,
        };
        let leads_away = |c: char| matches!(c, '/' | '\\' | ':') || c.is_control();
        !matches!(name, "" | "." | "..") && !name.contains(leads_away)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_leads_into_no_folder_but_those_of_a_job() {
        let stays = |name: &str| NamedFile { name: name.into(), bytes: Vec::new() }.stays_within();
        for name in ["parts.csv", "flats/ear.dxf", "r12/ear-mm.dxf", "flats/..ear.dxf"] {
            assert!(stays(name), "{name}");
        }
        for name in [
            "",
            "..",
            "../x",
            "/x",
            "flats/",
            "flats/..",
            "flats/../x",
            "flats/a/b",
            "flats//x",
            "mine/x",
            "./x",
            "C:x",
            "flats\\x",
            "flats/..\\x",
            "flats/C:x",
            "flats/a\nb",
        ] {
            assert!(!stays(name), "{name}");
        }
    }
}
