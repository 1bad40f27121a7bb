//! The result of an edit that is only tried, while a value is typed.

use crate::diag::Finding;
use crate::serve::changed::Changed;
use crate::serve::changed::Refused;
use crate::serve::edit::Edit;
use crate::serve::machine;
use crate::serve::opened::At;
use crate::serve::opened::Opened;
use crate::serve::part;
use crate::serve::remedies::Subject;
use crate::serve::remedies::Trial;
use crate::solve::Depth;
use serde_json::Value;

impl Opened {
    /// The result of an edit, to the depth requested; nothing is written.
    ///
    /// # Errors
    /// When the edit cannot be made.
    pub fn tried(&self, edit: &Edit, room: [f64; 2], depth: Depth) -> Result<Value, Refused> {
        if let Edit::Shop(of) = edit {
            return self.tried_shop(of);
        }
        let at = self.at();
        let Changed { text, part, .. } = self.applied(edit, &at)?;
        let At { seen, past, .. } = at;
        if let Edit::Measured(of) = edit {
            return self.fitted(&seen, &past, of);
        }
        if let Edit::Entry(of) = edit {
            let (of, after) = (of.of(&seen), self.look_to(depth, &past, &text)?);
            let Some(mut shown) = self.entry_of(&after, &of, room) else { return Ok(Value::Null) };
            // While one types, neither findings nor picture wait for the buttons.
            if depth == Depth::Whole {
                let trial = Trial { seen: &after, past: &past, edit: Some((edit, &seen)) };
                self.prove(&trial, Subject::Entry(&of, &self.desk.shown()), &mut shown);
            }
            return Ok(shown);
        }
        if let Edit::Machine(_) = edit {
            let seen = self.look_to(depth, &past, &text)?;
            return Ok(machine::machine(&seen, &self.desk.shown(), room));
        }
        let (before, shown) = (seen, self.desk.shown());
        let seen = self.look_to(depth, &past, &text)?;
        let trial = Trial { seen: &seen, past: &past, edit: Some((edit, &before)) };
        let part = part.and_then(|name| {
            let known = before.headlines(&name);
            let caused_by = |finding: &Finding| match known.contains(&finding.headline) {
                true => self.caused(&name, finding),
                false => edit.field().map(str::to_owned),
            };
            let mut shown = part::part(&seen, &shown, (&name, &caused_by), room)?;
            if depth == Depth::Whole {
                self.prove(&trial, Subject::Part(&name), &mut shown);
            }
            Some(shown)
        });
        Ok(part.unwrap_or(Value::Null))
    }
}
