//! Vessels that a person can get into.

use uom::si::volume::cubic_meter;

use super::case::{Case, found, number, safety};
use super::{Found, Severity};
use fenlamp_model::plan::{Siting, VesselKind};

/// Volume above which a person fits inside, m3 (judgement; a head is enough to die).
const A_PERSON_FITS_M3: f64 = 1.0;

/// A pit, or a large vessel.
pub(super) fn can_be_entered(case: &Case<'_>) -> Option<Found> {
    let vessel = &case.plan.vessel;
    let volume = vessel.volume.get::<cubic_meter>();
    let sunk =
        vessel.kind == VesselKind::SunkenTank || matches!(vessel.siting, Siting::InGround { .. });
    // A bag that is opened is open to the sky.
    if !sunk && (volume <= A_PERSON_FITS_M3 || vessel.kind == VesselKind::LongBag) {
        return None;
    }
    let (h2s, h2s_key) = safety("hydrogen sulfide", "IDLH")?;
    let (oxygen, oxygen_key) = safety("oxygen", "deficient atmosphere below")?;
    let what = if sunk {
        "The vessel is sunk in the ground"
    } else {
        "A person fits into this vessel"
    };
    let words = format!(
        "{what}: nobody goes in, not for a tool, not after it was emptied, not after someone who has \
         dropped. {h2s:.0} ppm of hydrogen sulfide or less than {oxygen} % oxygen kills without \
         warning, and stirred sludge gives gas off again. Lock the lid, fence the place; if work \
         inside cannot be avoided it is permit work for trained people with air supply and lifeline."
    );
    let evidence = vec![
        number("limit_h2s_ppm", h2s),
        number("limit_oxygen_percent", oxygen),
        number("volume_m3", volume),
    ];
    found(
        Severity::Stop,
        words,
        evidence,
        &[h2s_key, oxygen_key, "NIOSH-90-103", "FACE-9228"],
    )
}
