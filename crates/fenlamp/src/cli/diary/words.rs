//! Words of the help.

/// Kinds of entry, for `--help`; a test holds it to the list of the core.
pub const KINDS_HELP: &str = "Kinds, each with its words:
  fed \"2 bucket goat_manure\"    fed \"1.5 kg grass_clippings with 4 L water\"
  drawn-off \"1 bucket\"          slurry \"18 °C\"         air \"9 °C\"
  gas \"120 L\"                   gas \"300 L in 2 days by meter\"
  meter \"12.4 m3\"               burned \"35 min\"
  bag half                      empty, quarter, half, three quarters, full, \"40 %\"
  flame blue                    none, goes out, blue, yellow
  ph \"6.8 by strip\"             ph \"7.12 by meter\"
  titration \"20 mL, 0.1 N, 12.5 mL, 15 mL\"   sample, acid, to pH 5.0, to pH 4.4
  h2s \"1500 ppm\"                smell sour             usual, sour, eggs, ammonia
  foam some                     none, some, much
  leak tight                    tight, leaks
  wash 1                        changed; counted from the vessel
  trap emptied                  added \"200 g bicarbonate\"
  note \"anything\"               photo flame.jpg";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_help_names_every_kind() {
        for (kind, _) in fenlamp_report::diary::KINDS {
            assert!(
                KINDS_HELP.contains(&format!("  {kind} ")),
                "{kind} is missing"
            );
        }
    }
}
