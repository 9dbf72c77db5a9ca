//! A unit by its name, rates and buckets included.

use crate::context::Context;
use crate::kind::Kind;
use crate::units;

/// A resolved unit: `si = offset + scale * number`.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Resolved {
    pub scale: f64,
    pub offset: f64,
    pub us: bool,
}

/// Finds the unit of a kind, rates included.
pub(crate) fn resolve(kind: Kind, name: &str, cx: &Context) -> Option<Resolved> {
    let Some(amount) = units::flowing(kind) else {
        let unit = units::find(kind, name)?;
        if unit.bucket {
            return Some(Resolved {
                scale: cx.bucket.0.value,
                offset: 0.0,
                us: true,
            });
        }
        let offset = (unit.to_si)(0.0);
        return Some(Resolved {
            scale: (unit.to_si)(1.0) - offset,
            offset,
            us: unit.us,
        });
    };
    let flow = flow_words(name);
    let (amount_name, time_name) = flow.rsplit_once('/')?;
    let top = resolve(amount, amount_name, cx)?;
    let time = resolve(Kind::Time, time_name, cx)?;
    Some(Resolved {
        scale: top.scale / time.scale,
        offset: 0.0,
        us: top.us,
    })
}

/// "2 buckets a week", "kg each day", "kg daily" in the form with a stroke.
pub(crate) fn flow_words(name: &str) -> String {
    let mut out = format!(" {} ", name.trim());
    for word in [" per ", " a ", " an ", " each ", " every "] {
        out = out.replace(word, "/");
    }
    let out = out.trim();
    for (word, stroke) in [
        (" daily", "/day"),
        (" weekly", "/week"),
        (" monthly", "/month"),
    ] {
        if let Some(head) = out.strip_suffix(word) {
            return format!("{head}{stroke}");
        }
    }
    out.to_owned()
}
