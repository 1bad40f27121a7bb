//! The form of a DXF file in bytes, as the pairs of its text form.

use crate::dxf_in::error::DxfError;

/// The start of a binary file.
const SENTINEL: &[u8] = b"AutoCAD Binary DXF\r\n\x1a\0";

/// Whether a file is one in bytes.
pub(super) fn is_binary(bytes: &[u8]) -> bool {
    bytes.starts_with(SENTINEL)
}

/// A pair: its code, its value as bytes of a text, and where it begins in the file.
pub(super) type Pair = (i32, Vec<u8>, usize);

/// All pairs.
///
/// # Errors
/// When the file ends within one.
pub(super) fn pairs(bytes: &[u8]) -> Result<Vec<Pair>, DxfError> {
    let mut rest = Bytes { bytes, at: SENTINEL.len() };
    // Old files have codes of one byte: there the name of the first record follows at once.
    let short = bytes.get(SENTINEL.len() + 1).is_some_and(|byte| *byte != 0);
    let mut all = Vec::new();
    while rest.at < bytes.len() {
        let at = rest.at;
        let code = match short {
            true => match rest.number::<1>()?[0] {
                255 => i32::from(i16::from_le_bytes(rest.number()?)),
                code => i32::from(code),
            },
            false => i32::from(i16::from_le_bytes(rest.number()?)),
        };
        let value = value(code, &mut rest)?;
        let is_end = code == 0 && value == b"EOF";
        all.push((code, value, at));
        if is_end {
            return Ok(all);
        }
    }
    Err(DxfError::BrokenOff)
}

/// The value of a code, by the ranges of the format.
fn value(code: i32, rest: &mut Bytes) -> Result<Vec<u8>, DxfError> {
    Ok(match code {
        10..=59 | 110..=149 | 210..=239 | 460..=469 | 1010..=1059 => {
            format!("{:?}", f64::from_le_bytes(rest.number()?)).into_bytes()
        }
        60..=79 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => {
            i16::from_le_bytes(rest.number()?).to_string().into_bytes()
        }
        90..=99 | 420..=429 | 440..=449 | 450..=459 | 1071 => {
            i32::from_le_bytes(rest.number()?).to_string().into_bytes()
        }
        160..=169 => i64::from_le_bytes(rest.number()?).to_string().into_bytes(),
        290..=299 => rest.number::<1>()?[0].to_string().into_bytes(),
        310..=319 | 1004 => {
            let long = usize::from(rest.number::<1>()?[0]);
            rest.take(long)?;
            Vec::new()
        }
        _ => rest.text()?,
    })
}

struct Bytes<'a> {
    bytes: &'a [u8],
    at: usize,
}

impl Bytes<'_> {
    fn take(&mut self, long: usize) -> Result<&[u8], DxfError> {
        let end = self.at.checked_add(long).ok_or(DxfError::BrokenOff)?;
        let taken = self.bytes.get(self.at..end).ok_or(DxfError::BrokenOff)?;
        self.at = end;
        Ok(taken)
    }

    fn number<const N: usize>(&mut self) -> Result<[u8; N], DxfError> {
        self.take(N)?.try_into().map_err(|_| DxfError::BrokenOff)
    }

    fn text(&mut self) -> Result<Vec<u8>, DxfError> {
        let rest = self.bytes.get(self.at..).ok_or(DxfError::BrokenOff)?;
        let long = rest.iter().position(|b| *b == 0).ok_or(DxfError::BrokenOff)?;
        let text = self.take(long)?.to_vec();
        self.at += 1;
        Ok(text)
    }
}
