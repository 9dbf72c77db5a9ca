//! The month's program solved: by simplex, and by branch and bound where whole
//! parts are asked for.

use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolverModel, Variable, microlp,
    variable,
};

use super::month::{Limit, Program, Row};

/// What is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Goal {
    /// Most methane.
    Most,
    /// The least to carry that gives so much methane, dry normal L/day.
    Enough(f64),
}

/// A solver that failed, which is a fault of ours.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the recipe's program could not be solved: {0}")]
pub struct Unsolved(pub String);

/// Loss of methane worth a litre carried less, L: breaks ties towards less work.
const A_LITRE_IS_WORTH: f64 = 1e-4;

/// The best parts of each waste; `None` when no parts meet the goal.
pub(super) fn best(
    program: &Program,
    goal: Goal,
    whole: bool,
) -> Result<Option<Vec<f64>>, Unsolved> {
    let worth = |parts: &Vec<f64>| match goal {
        Goal::Most => program.methane(parts) - A_LITRE_IS_WORTH * program.carried(parts),
        Goal::Enough(_) => -program.carried(parts),
    };
    // Water is what the mix asks for, or none for a thin one: two plain programs.
    let mut best: Option<Vec<f64>> = None;
    for watered in [true, false] {
        if let Some(parts) = one(program, goal, whole, watered)?
            // Rounding to whole parts must not pass a limit.
            && (!whole || program.allows(&parts))
            && best.as_ref().is_none_or(|b| worth(&parts) > worth(b))
        {
            best = Some(parts);
        }
    }
    Ok(best)
}

/// `row` with the water told by the parts.
fn closed(program: &Program, row: &Row, watered: bool) -> Vec<f64> {
    let water = if watered { row.water } else { 0.0 };
    row.feed
        .iter()
        .zip(&program.water_l)
        .map(|(f, w)| f + water * w)
        .collect()
}

fn sum(variables: &[Variable], factors: &[f64]) -> Expression {
    variables.iter().zip(factors).map(|(v, f)| *f * *v).sum()
}

fn one(
    program: &Program,
    goal: Goal,
    whole: bool,
    watered: bool,
) -> Result<Option<Vec<f64>>, Unsolved> {
    let mut names = ProblemVariables::new();
    let parts: Vec<Variable> = program
        .most
        .iter()
        .map(|&most| {
            let v = variable().min(0.0).max(f64::from(most));
            names.add(if whole { v.integer() } else { v })
        })
        .collect();
    let carried: Vec<f64> = program
        .feed_l
        .iter()
        .zip(&program.water_l)
        .map(|(f, w)| f + if watered { *w } else { 0.0 })
        .collect();
    let aim: Vec<f64> = match goal {
        Goal::Most => program
            .methane_l
            .iter()
            .zip(&carried)
            .map(|(m, c)| m - A_LITRE_IS_WORTH * c)
            .collect(),
        Goal::Enough(_) => carried.iter().map(|c| -c).collect(),
    };
    let mut model = names.maximise(sum(&parts, &aim)).using(microlp);
    for row in &program.rows {
        let closed: Vec<f64> = closed(program, row, watered)
            .iter()
            .map(|f| f / row.scale)
            .collect();
        model.add_constraint(sum(&parts, &closed).leq(row.bound / row.scale));
    }
    let thirst = sum(&parts, &program.water_l);
    model.add_constraint(if watered {
        thirst.geq(0.0)
    } else {
        thirst.leq(0.0)
    });
    if let Goal::Enough(litres) = goal {
        model.add_constraint(sum(&parts, &program.methane_l).geq(litres));
    }
    match model.solve() {
        Ok(found) => Ok(Some(read(&found, &parts, whole))),
        Err(ResolutionError::Infeasible) => Ok(None),
        Err(e) => Err(Unsolved(e.to_string())),
    }
}

fn read(found: &impl Solution, parts: &[Variable], whole: bool) -> Vec<f64> {
    parts
        .iter()
        .map(|v| {
            let value = found.value(*v).max(0.0);
            if whole { value.round() } else { value }
        })
        .collect()
}

/// How far each limit must give way, as a share of itself, so that so much methane
/// comes; the smallest sum of it. Supplies give way in shares of all that is at hand.
pub(super) fn slack(program: &Program, litres: f64) -> Result<Vec<(Limit, f64)>, Unsolved> {
    let mut least: Option<(f64, Vec<(Limit, f64)>)> = None;
    for watered in [true, false] {
        let mut names = ProblemVariables::new();
        let free = || variable().min(0.0).max(1e6);
        let parts: Vec<Variable> = program.most.iter().map(|_| names.add(free())).collect();
        let gives: Vec<Variable> = program.rows.iter().map(|_| names.add(free())).collect();
        let more: Vec<Variable> = program.most.iter().map(|_| names.add(free())).collect();
        let all: Expression = gives.iter().chain(&more).map(|v| 1.0 * *v).sum();
        let mut model = names.minimise(all).using(microlp);
        for (row, give) in program.rows.iter().zip(&gives) {
            let closed: Vec<f64> = closed(program, row, watered)
                .iter()
                .map(|f| f / row.scale)
                .collect();
            model.add_constraint((sum(&parts, &closed) - *give).leq(row.bound / row.scale));
        }
        for ((part, extra), most) in parts.iter().zip(&more).zip(&program.most) {
            let most = f64::from(*most);
            model.add_constraint((*part - most.max(1.0) * *extra).leq(most));
        }
        let thirst = sum(&parts, &program.water_l);
        model.add_constraint(if watered {
            thirst.geq(0.0)
        } else {
            thirst.leq(0.0)
        });
        model.add_constraint(sum(&parts, &program.methane_l).geq(litres));
        let found = match model.solve() {
            Ok(found) => found,
            Err(ResolutionError::Infeasible) => continue,
            Err(e) => return Err(Unsolved(e.to_string())),
        };
        let mut out: Vec<(Limit, f64)> = program
            .rows
            .iter()
            .zip(&gives)
            .map(|(r, g)| (r.limit, found.value(*g)))
            .chain(
                more.iter()
                    .enumerate()
                    .map(|(w, v)| (Limit::AtHand(w), found.value(*v))),
            )
            .filter(|(_, give)| *give > 1e-6)
            .collect();
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        let total = out.iter().map(|o| o.1).sum();
        if least.as_ref().is_none_or(|(l, _)| total < *l) {
            least = Some((total, out));
        }
    }
    Ok(least.map(|l| l.1).unwrap_or_default())
}
