//! The data by which the bends of a part unfold, and whether they match the tools.
//!
//! A measured row is valid for the V it was measured over. The V of a bend is known only when the
//! bend sequence is found, and that needs a flat. So a part is developed over the usual V, its
//! sequence found, and developed again over the V of its setups, until both agree. A bend on a
//! brake without a V uses no measured row unless the job or the recipe names it.

use crate::bend::Development;
use crate::bend::Form;
use crate::bend::Method;
use crate::bend::Rule;
use crate::bend::Trust;
use crate::bend::Unfolding;
use crate::brake;
use crate::diag::Finding;
use crate::diag::Span;
use crate::diag::instead;
use crate::flat::Flat;
use crate::job::Job;
use crate::job::Line;
use crate::job::Sheet;
use crate::part::Part;
use crate::recipe::Params;
use crate::recipe::Recipe;
use crate::sequence::Plan;
use crate::table::Row;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Where a bend is made.
#[derive(Clone, Copy)]
enum Over {
    /// Not known yet.
    Usual,
    /// A V of a width in mm.
    V(f64),
    /// A brake without one.
    NoV,
}

/// A part developed by some bend rules, and the order in which it is bent then.
pub(crate) struct Developed {
    /// Index of its line in the job.
    pub(crate) line: usize,
    pub(crate) params: Arc<Params>,
    pub(crate) part: Part,
    pub(crate) flat: Flat,
    pub(crate) plan: Option<Plan>,
}

/// Whose bends they are.
pub(crate) struct Whose<'a> {
    pub(crate) job: &'a Job,
    pub(crate) line: &'a Line,
    pub(crate) recipe: &'a Recipe,
}

impl Whose<'_> {
    /// How the bends unfold before their tools are known.
    ///
    /// # Errors
    /// When the job names a bend the recipe does not have, or a row that was not measured.
    pub(crate) fn first(&self) -> Result<Development, Vec<Finding>> {
        let unknown = self.line.bends.iter().filter(|b| !self.recipe.bends.contains_key(&b.name));
        let findings: Vec<Finding> = unknown.map(|asked| self.no_such_bend(asked)).collect();
        if !findings.is_empty() {
            return Err(findings);
        }
        self.all(&BTreeMap::new())
    }

    /// How they unfold over the tools they were made on.
    ///
    /// # Errors
    /// As [`Self::first`].
    pub(crate) fn again(&self, developed: &[Developed]) -> Result<Development, Vec<Finding>> {
        let mut over = BTreeMap::new();
        for (of, plan) in developed.iter().filter_map(|d| Some((d, d.plan.as_ref()?))) {
            for step in &plan.steps {
                let v = self.job.shop.as_deref().and_then(|shop| step.setup.v(shop));
                // The first of two hands, or of a repeated bend, speaks for all.
                over.entry(self.recipe.bend_set(&of.part.bends[step.bend].name).to_owned())
                    .or_insert(v.map_or(Over::NoV, Over::V));
            }
        }
        self.all(&over)
    }

    fn all(&self, over: &BTreeMap<String, Over>) -> Result<Development, Vec<Finding>> {
        let of = |name: &str| over.get(name).copied().unwrap_or(Over::Usual);
        let plain = self.recipe.bends.keys().find(|name| self.asked(name).is_none());
        let usual = self.trusted(plain.map_or(Over::Usual, |name| of(name)));
        let mut own = BTreeMap::new();
        let mut findings = Vec::new();
        for name in self.recipe.bends.keys() {
            let asked = self.asked(name);
            let is_formed = self.recipe.bends[name].form != Form::Bent;
            if let Some((Rule::Measured, _, span)) = asked.filter(|_| is_formed) {
                findings.push(measured_over_a_v(name, span));
                continue;
            }
            let unfolding = match asked {
                None => self.trusted(of(name)),
                Some((Rule::By(method), by, _)) => Unfolding { method, radius: None, by },
                Some((Rule::Measured, by, span)) => match self.measured(of(name), true) {
                    Some(unfolding) => Unfolding { by, ..unfolding },
                    None => {
                        findings.push(self.not_measured(name, span));
                        continue;
                    }
                },
            };
            if unfolding != usual {
                own.insert(name.clone(), unfolding);
            }
        }
        if !findings.is_empty() {
            return Err(findings);
        }
        let min_slot = self.job.process.measure("min_slot_ratio") * self.sheet().thickness;
        Ok(Development { usual, own, min_slot })
    }

    /// The bend data named for one bend, with its source: the job, else the recipe.
    fn asked(&self, name: &str) -> Option<(Rule, Trust, Span)> {
        let job = self.line.bends.iter().find(|asked| asked.name == name);
        let recipe = || {
            let bend = self.recipe.bends.get(name)?;
            Some((bend.method?, Trust::Recipe, bend.span))
        };
        job.map(|asked| (asked.rule, Trust::Part, asked.span)).or_else(recipe)
    }

    /// The first answer in the shop's order of trust.
    fn trusted(&self, over: Over) -> Unfolding {
        let (sheet, shop) = (self.sheet(), self.job.shop.as_deref());
        let order = shop.map_or(&Trust::USUAL[..], |shop| &shop.trust);
        let by = |method: Method, by: Trust| Unfolding { method, radius: None, by };
        let answer = |trust: &Trust| match trust {
            Trust::Sheet => match sheet.rule? {
                Rule::By(method) => Some(by(method, Trust::Sheet)),
                Rule::Measured => {
                    let found = self.measured(over, true)?;
                    Some(Unfolding { by: Trust::Sheet, ..found })
                }
            },
            Trust::Measured => self.measured(over, false),
            Trust::Shop => Some(by(shop?.method?, Trust::Shop)),
            Trust::Metal => Some(self.by_metal()),
            Trust::Part | Trust::Recipe | Trust::Form => None,
        };
        order.iter().find_map(answer).unwrap_or_else(|| self.by_metal())
    }

    fn by_metal(&self) -> Unfolding {
        Unfolding { method: usual_method(&self.sheet().material), radius: None, by: Trust::Metal }
    }

    /// The bend measured on this sheet over the nearest V; over the usual one where there
    /// is no V and it was `asked` for.
    fn measured(&self, over: Over, asked: bool) -> Option<Unfolding> {
        let (sheet, shop) = (self.sheet(), self.job.shop.as_deref()?);
        let usual = || shop.nearest_v(sheet.thickness).unwrap_or(brake::v_opening(sheet.thickness));
        let v = match over {
            Over::V(v) => v,
            Over::NoV if !asked => return None,
            Over::Usual | Over::NoV => usual(),
        };
        let found = shop.measured(sheet.material.name(), sheet.thickness, v)?;
        Some(Unfolding {
            method: Method::Measured { k: found.k, v: found.v, radius: found.radius },
            radius: sheet.bend_radius.is_none().then_some(found.radius),
            by: Trust::Measured,
        })
    }

    fn sheet(&self) -> &Sheet {
        &self.job.sheets[self.line.sheet]
    }

    fn no_such_bend(&self, asked: &crate::job::AskedBend) -> Finding {
        let (name, recipe) = (&asked.name, &self.line.recipe.0);
        let names: Vec<&str> = self.recipe.bends.keys().map(String::as_str).collect();
        let help = match names.as_slice() {
            [] => "remove `bends`: this part is flat".into(),
            names => instead(name, names, "its bends are"),
        };
        let headline = format!("recipe `{recipe}` has no bend `{name}`");
        Finding::stop("unknown-bend", headline).at(asked.span, "").help(help)
    }

    fn not_measured(&self, name: &str, span: Span) -> Finding {
        let sheet = &self.sheet().name;
        let headline = format!(
            "bend `{name}` is computed from a measured row, but the shop has none for `{sheet}`"
        );
        Finding::stop("measured-bend", headline).at(span, "").help(
            "measure a strip (`platewright calibrate`), or write `DIN 6935`, `FAA` or a K-factor",
        )
    }
}

/// A rolled bend or a hem that is to follow a row measured over a V.
fn measured_over_a_v(name: &str, span: Span) -> Finding {
    let headline =
        format!("bend `{name}` is not made over a V, and measured rows are for bends over a V");
    Finding::stop("measured-bend", headline)
        .at(span, "")
        .help("leave `measured` out for it, or write a K-factor")
}

/// DIN 6935 was made for steel; aircraft practice computes aluminium by the FAA's formula.
fn usual_method(material: &Row) -> Method {
    if material.text("metal") == Some("aluminium") { Method::Faa } else { Method::Din6935 }
}
