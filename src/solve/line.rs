//! A line of a job with all its values: developed, fitted, judged and checked.

use crate::bend::Development;
use crate::check;
use crate::check::Subject;
use crate::diag::Finding;
use crate::diag::Weight;
use crate::fit;
use crate::flat;
use crate::flat::Flat;
use crate::fold;
use crate::job::Job;
use crate::job::Line;
use crate::job::Sheet;
use crate::part;
use crate::part::Part;
use crate::recipe;
use crate::recipe::Hand;
use crate::recipe::Recipe;
use crate::sequence;
use crate::sequence::Metal;
use crate::sequence::Plan;
use crate::sequence::Task;
use crate::solve::accepted;
use crate::solve::bend_allowance::Developed;
use crate::solve::bend_allowance::Whose;
use crate::solve::depth::Depth;
use crate::solve::etched;
use crate::solve::given;
use crate::solve::hands;
use crate::solve::hole_sets;
use crate::solve::in_space;
use crate::solve::issue::Issue;
use crate::solve::joints;
use crate::solve::leg_room;
use crate::solve::loads::judge;
use crate::solve::lying;
use crate::solve::merged::in_part;
use crate::solve::on_sheets;
use crate::solve::open;
use crate::solve::raised;
use crate::solve::solved;
use crate::solve::solved::Solved;
use crate::table::Tables;
use std::sync::Arc;

/// How often a part is developed again for the tools of its bends. Our choice: each round but the
/// last changes the V of some bend.
const MAX_ROUNDS: usize = 4;

/// A line, its open inputs chosen, to the required depth.
pub(super) fn line(
    job: &Job,
    (index, line): (usize, &Line),
    recipe: &Recipe,
    tables: &Tables,
    depth: Depth,
) -> (Vec<Solved>, Vec<Finding>) {
    let one = |line: &Line| one(job, (index, line), recipe, tables, depth);
    if line.open.is_empty() {
        return one(line);
    }
    match open::choose(job, line, tables, one) {
        Ok(open::Chosen { mut solved, choice, findings }) => {
            let choice = Arc::new(choice);
            for part in &mut solved {
                part.choice = Some(choice.clone());
            }
            (solved, findings)
        }
        Err(findings) => (Vec::new(), findings.into_iter().map(|f| in_part(f, line)).collect()),
    }
}

/// A line with all its values: its parts on each sheet, then judged and checked together.
fn one(
    job: &Job,
    (index, line): (usize, &Line),
    recipe: &Recipe,
    tables: &Tables,
    depth: Depth,
) -> (Vec<Solved>, Vec<Finding>) {
    let of_sheet = |(line, recipe): on_sheets::Made| {
        let developed = agreed(job, (index, &line), &recipe, tables, depth)?;
        Ok(finished(job, &line, developed, tables))
    };
    let solved = on_sheets::by_sheet(line, recipe)
        .and_then(|all| all.into_iter().map(of_sheet).collect::<Result<Vec<_>, _>>())
        .map(|all| all.into_iter().flatten().collect::<Vec<Solved>>())
        .and_then(|mut solved| {
            leg_room::measure(&mut solved);
            if depth == Depth::Whole {
                judge(job, line, &mut solved, tables)?;
            }
            let lying = lying::found(&solved);
            let (stops, cautions): (Vec<_>, Vec<_>) =
                lying.into_iter().partition(|(_, found)| found.weight == Weight::Stop);
            let mut stops: Vec<Finding> = stops.into_iter().map(|(_, found)| found).collect();
            stops.extend(raised::between(&solved));
            stops.extend(in_space::collisions(&solved, recipe));
            if stops.is_empty() { Ok((solved, cautions)) } else { Err(stops) }
        });
    match solved {
        Ok((mut solved, cautions)) => {
            for solved in &mut solved {
                solved.found = checked(job, line, recipe, solved, (tables, depth));
                solved.found.extend(etched::without_name(job, line, recipe, solved));
            }
            let alike = hands::alike(job, &solved);
            for (part, caution) in cautions.into_iter().chain(alike) {
                solved[part].found.push(caution);
            }
            accepted::accept(line, &mut solved);
            let found = solved.iter().flat_map(|solved| &solved.found);
            let findings = found.map(|f| in_part(f.clone(), line)).collect();
            (solved, findings)
        }
        Err(findings) => (Vec::new(), findings.into_iter().map(|f| in_part(f, line)).collect()),
    }
}

/// The findings of the checks on a part.
fn checked(
    job: &Job,
    line: &Line,
    recipe: &Recipe,
    solved: &Solved,
    (tables, depth): (&Tables, Depth),
) -> Vec<Finding> {
    check::all(&Subject {
        name: &solved.name,
        recipe,
        params: &solved.params,
        part: &solved.part,
        flat: &solved.flat,
        folded: &solved.folded,
        clevis: solved.clevis.as_ref(),
        nut: solved.nut.as_ref(),
        material: &job.sheets[solved.sheet].material,
        process: &job.process,
        tables,
        here: line.here,
        units: job.units,
        shop: job.shop.as_deref().zip(solved.plan.as_ref()),
        limits: &job.limits_of(line),
        near: &line.near,
        tail: &given::tail(job, line),
        // Loads that have not been judged yet are not reported as unjudged.
        loads: if depth == Depth::Whole { &job.loads } else { &[] },
        verdicts: &solved.verdicts,
    })
}

/// A part whose flat and tools agree: a measured bend is valid for the V it was measured over. If
/// the rounds do not converge, the last one is kept, and a check reports the differences.
fn agreed(
    job: &Job,
    (index, line): (usize, &Line),
    recipe: &Recipe,
    tables: &Tables,
    depth: Depth,
) -> Result<Vec<Developed>, Vec<Finding>> {
    let whose = Whose { job, line, recipe };
    let mut development = whose.first()?;
    let mut developed = Vec::new();
    for _ in 0..MAX_ROUNDS {
        developed = self::developed(job, (index, line), recipe, tables, (&development, depth))?;
        let next = whose.again(&developed)?;
        if next == development {
            break;
        }
        development = next;
    }
    Ok(developed)
}

/// A line of the job whose bends unfold so.
fn developed(
    job: &Job,
    (index, line): (usize, &Line),
    recipe: &Recipe,
    tables: &Tables,
    (development, depth): (&Development, Depth),
) -> Result<Vec<Developed>, Vec<Finding>> {
    let sheet = &job.sheets[line.sheet];
    let surroundings = given::surroundings(job, line, development.usual.radius, tables);
    given::beside_faces(line, recipe)?;
    let given = given::given(job, line, recipe)?;
    let params = recipe::resolve(recipe, &given, line.here, &surroundings, tables)?;
    let params = Arc::new(params);
    let parts = part::build(recipe, &params, tables, development.clone(), &line.name)?;
    let left = params.differ().then(|| Arc::new(params.left()));
    let developed = parts.into_iter().map(|part| {
        let part = etched::ticked(job, part);
        // If the values differ with the hand, every part has its own.
        let of_left = left.as_ref().filter(|_| part.hand == Some(Hand::Left));
        let params = of_left.unwrap_or(&params);
        let mut part = flat::lighten(fold::cut_tubes(part)?)?;
        let mut flat = flat::unfold(&part)?;
        let name = format!("{}{}", line.name, part.suffix);
        let wanted = job.etch_names && !recipe.marks_name();
        if let Some(mark) =
            wanted.then(|| etched::name_mark(&name, &part, &flat, line.here)).flatten()
        {
            part.faces[0].marks.push(mark);
            flat = flat::unfold(&part)?;
        }
        let plan = match depth {
            Depth::Whole => plan(job, sheet, &part, &flat),
            Depth::Flat => None,
        };
        Ok(Developed { line: index, params: params.clone(), part, flat, plan })
    });
    developed.collect()
}

/// The parts of a line, folded, fitted and judged once their flats are final.
fn finished(job: &Job, line: &Line, developed: Vec<Developed>, tables: &Tables) -> Vec<Solved> {
    let coating = job.coating_of(line);
    let shop = fit::Shop {
        tables,
        coating: coating.film,
        films: coating.films,
        process: job.process.name(),
        cut: job.limits.cut,
    };
    let tail = given::tail(job, line);
    let solved = developed.into_iter().map(|of| Solved {
        hole_sets: Vec::new(),
        line: of.line,
        name: format!("{}{}", line.name, of.part.suffix),
        sheet: line.sheet,
        params: of.params,
        choice: None,
        folded: Arc::new(fold::fold(&of.part, &of.flat, &fold::full(&of.part))),
        clevis: fit::clevis(&of.part, &shop, &tail)
            .filter(|_| solved::takes_rod_end(job, line, &of.part)),
        nut: fit::nut(&of.part, tables),
        part: of.part,
        flat: of.flat,
        plan: of.plan,
        found: Vec::new(),
        verdicts: Vec::new(),
        joints: Vec::new(),
        issue: Issue::default(),
    });
    let mut solved: Vec<Solved> = solved.collect();
    for of in &mut solved {
        let joints = || job.joints.all.iter().map(Arc::as_ref);
        for hole in of.part.faces.iter_mut().flat_map(|face| &mut face.holes) {
            hole.bears = joints::bears(joints(), [&of.name, &line.name], hole);
        }
    }
    let numbers = hole_sets::numbers(&solved);
    solved.iter_mut().zip(numbers).for_each(|(of, numbers)| of.hole_sets = numbers);
    solved
}

/// The order in which a part is bent with the shop's tools.
fn plan(job: &Job, sheet: &Sheet, part: &Part, flat: &Flat) -> Option<Plan> {
    let shop = job.shop.as_deref().filter(|_| !part.bends.is_empty())?;
    let metal = Metal::of(&sheet.material);
    let material = sheet.material.name();
    Some(sequence::find(&Task { part, flat, metal, material, shop }))
}
