//! Relief, flash-back stop, trap and line.

use uom::si::length::millimeter;
use uom::si::pressure::pascal;

use super::case::{Case, found, number};
use super::{Found, Severity};
use fenlamp_model::gas::quench::flash_back as passes;
use fenlamp_model::gas::quench::{FlashBack, Gap, widest_mm};
use fenlamp_model::gas::relief::sealed_pa_per_k;
use fenlamp_model::plan::{FlashBackStop, Runs, VesselKind};
use fenlamp_model::say;
use fenlamp_model::say::{days_band, number_band};
use fenlamp_model::weather::Weather;

/// Nothing is said of the gas side, so nothing of it is checked.
pub(super) fn not_told(case: &Case<'_>) -> Option<Found> {
    if !case.plan.gas_side.is_empty() {
        return None;
    }
    let words = "The plan does not say how the gas is washed, led, stored and burned: relief, \
                 flash-back stop, rooms and fumes are not checked here. That they are not named \
                 below does not make them safe."
        .to_owned();
    found(Severity::Note, words, Vec::new(), &["CODES"])
}

/// No relief, or one that lets gas out indoors.
pub(super) fn relief(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    if side.is_empty() {
        return None;
    }
    let day_l = case.best_day_l();
    let words = match &side.relief {
        None => format!(
            "The plan has no relief. A blocked line then lifts the lid, bursts the store or drives \
             slurry into the house. Fit a water column that cannot be shut off, that passes the \
             gas of the best day ({}) and lets it out high in the open.",
            say::gas(day_l, case.units)
        ),
        Some(r) if r.runs == Runs::Indoors => format!(
            "The relief lets gas out indoors, up to {} on the best day. Lead it high into the open, away \
             from doors, windows and flames.",
            say::gas(day_l, case.units)
        ),
        Some(_) => return None,
    };
    let depth = side
        .relief
        .as_ref()
        .map_or(0.0, |r| r.depth.get::<pascal>());
    let evidence = vec![
        number("best_day_l", day_l),
        number("relief_depth_pa", depth),
    ];
    found(Severity::Stop, words, evidence, &["GTZ1989", "CODES"])
}

/// A rigid vessel shut tight.
pub(super) fn sealed(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    if side.is_empty()
        || side.relief.is_some()
        || side.store.is_some()
        || case.plan.vessel.kind == VesselKind::LongBag
    {
        return None;
    }
    let mbar = sealed_pa_per_k(20.0).ok()? / 100.0;
    let words = format!(
        "A rigid vessel with neither store nor relief: shut, it gains {mbar:.1} mbar for each degree of \
         warming, and the gas on top of that, until something bursts. Give it a soft store and a \
         water relief before it is filled."
    );
    found(
        Severity::Stop,
        words,
        vec![number("mbar_per_k", mbar)],
        &["GTZ1989", "ARITH"],
    )
}

/// No stop against a flame running back.
pub(super) fn flash_back(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    if side.uses.is_empty() {
        return None;
    }
    let holds_mm = widest_mm(Gap::Mesh);
    let Some(stop) = &side.flash_back else {
        let words =
            "Gas is burned and nothing stops a flame from running back into the store. Put a \
                     water seal between store and burner, and never burn the last of the gas: stop \
                     while the gauge still shows pressure."
                .to_owned();
        return found(
            Severity::Stop,
            words,
            Vec::new(),
            &["FULFORD1996", "ARNOTT1985"],
        );
    };
    let FlashBackStop::Mesh { gap } = stop else {
        return None;
    };
    let gap_mm = gap.get::<millimeter>();
    let (severity, what) = match passes(Gap::Mesh, gap_mm).ok()? {
        FlashBack::Passes => (Severity::Stop, "lets a flame through"),
        FlashBack::MaySlow => (Severity::Stop, "may slow a flame and does not stop it"),
        FlashBack::Holds => (
            Severity::Care,
            "holds a still flame and is no tested arrester",
        ),
    };
    let words = format!(
        "A mesh with gaps of {gap_mm:.1} mm {what} (a still methane flame passes gaps of {holds_mm:.1} mm). \
         It clogs, heats and tears: take a water seal, or a tested arrester that a fitter chooses."
    );
    let evidence = vec![number("limit_gap_mm", holds_mm), number("gap_mm", gap_mm)];
    found(
        severity,
        words,
        evidence,
        &["IEC60079-20-1", "LEWIS1987", "AHMADU2021", "FULFORD1996"],
    )
}

/// Months in which nights freeze by the normals, or by the record.
fn frost_months(case: &Case<'_>) -> Vec<usize> {
    match &case.plan.weather {
        Weather::Normals(n) => (0..12).filter(|&m| n.low_c[m] < 0.0).collect(),
        Weather::Series(s) => {
            let mut months = Vec::new();
            let mut date = s.first;
            for day in s.air_c.chunks((24 / s.step_hours.max(1)).max(1) as usize) {
                if day.iter().any(|c| *c < 0.0) {
                    months.extend(usize::try_from(date.month() - 1));
                }
                date = date.tomorrow().unwrap_or(date);
            }
            months.sort_unstable();
            months.dedup();
            months
        }
    }
}

/// Ice in a line, trap or water relief.
pub(super) fn frozen(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    let frost = frost_months(case);
    let mut where_ = Vec::new();
    if side
        .relief
        .as_ref()
        .is_some_and(|r| r.runs == Runs::Outdoors)
    {
        where_.push("the water of the relief");
    }
    if side.line.as_ref().is_some_and(|l| l.runs == Runs::Outdoors) {
        where_.push("the low spots of the line");
    }
    if side.trap.as_ref().is_some_and(|t| t.runs == Runs::Outdoors) {
        where_.push("the trap");
    }
    // A dry summer run has no frost.
    let runs: Vec<usize> = case.months().into_iter().map(|(m, _)| m).collect();
    let frost: Vec<usize> = frost.into_iter().filter(|m| runs.contains(m)).collect();
    if frost.is_empty() || where_.is_empty() {
        return None;
    }
    let days = case
        .forecast
        .gas_train
        .as_ref()
        .and_then(|t| t.trap.as_ref())
        .map(|t| t.freezing_days_per_year);
    let often = days.filter(|d| d.p90 >= 0.5).map_or(String::new(), |d| {
        format!("; the trap on {} a year", days_band(d.p10, d.p90))
    });
    let names: Vec<&str> = frost.iter().map(|m| say::MONTHS[*m]).collect();
    let words = format!(
        "Frost in {} can freeze {}{often}. A plug of ice shuts the gas in: with the relief frozen too it \
         has no safe way out. Keep them inside the warm part or below ground, fill seals with brine or \
         glycol and correct their depth for its density, look before each frost, never thaw with a flame.",
        say::list(&names),
        say::list(&where_)
    );
    let severity = if where_[0].contains("relief") {
        Severity::Stop
    } else {
        Severity::Care
    };
    let mut evidence = vec![
        number("limit_c", 0.0),
        number("months_with_frost", frost.len() as f64),
    ];
    evidence.extend(days.map(|d| number("trap_freezing_days_per_year_p50", d.p50)));
    found(severity, words, evidence, &["TEXTBOOK", "ARITH"])
}

/// Water with nowhere to go.
pub(super) fn no_trap(case: &Case<'_>) -> Option<Found> {
    let side = &case.plan.gas_side;
    let line = side.line.as_ref()?;
    if side.trap.is_some() || line.low_point_drained {
        return None;
    }
    let week = case
        .forecast
        .gas_train
        .as_ref()
        .map(|t| t.condensate_g_per_week);
    let much = week.map_or(String::new(), |w| {
        format!(
            " About {} g of water a week drop out of the gas.",
            number_band(w.p10, w.p90)
        )
    });
    let words = format!(
        "The line has no trap and no drain at its lowest point.{much} It gathers, the flame flutters \
         and dies, and unburned gas flows on. Slope the line to a trap and empty it before it is full."
    );
    let evidence = week
        .map(|w| number("condensate_g_per_week_p50", w.p50))
        .into_iter()
        .collect();
    found(Severity::Care, words, evidence, &["FAO1984", "ARITH"])
}
