use super::constants::Constants;
use super::equilibrium::{Liquor, closed, under_gas};
use super::life::*;
use super::liquor::*;

fn half_molar() -> Liquor {
    Alkali::PotassiumCarbonate.liquor(0.5).expect("in range")
}

#[test]
fn explore() {
    for (name, liquor) in [
        ("k2co3", half_molar()),
        ("koh", Alkali::PotassiumHydroxide.liquor(1.0).unwrap()),
        ("lime", Alkali::SlakedLime.liquor(0.5).unwrap()),
        ("na2co3", Alkali::SodiumCarbonate.liquor(0.5).unwrap()),
        ("weak", Alkali::PotassiumCarbonate.liquor(0.01).unwrap()),
        ("water", Liquor::default()),
    ] {
        for contact in [
            Contact::BALANCE,
            Contact::in_jar(0.15)[0],
            Contact::in_jar(0.15)[1],
            Contact::in_jar(0.15)[2],
        ] {
            let jar = Jar {
                water_kg: 1.0,
                liquor,
                depth_m: 0.15,
                t_c: 25.0,
            };
            let t = std::time::Instant::now();
            let l = life(
                &[jar],
                RawGas::new(0.4, 2000.0).unwrap(),
                103_500.0,
                contact,
                SpentRule::default(),
            )
            .unwrap();
            let last = l.moments.last().unwrap();
            println!(
                "{name} {contact:?} h2s {:?} ph {:?} idle {:?} n {} {:?}",
                l.until_h2s_l,
                l.until_ph_l,
                l.until_idle_l,
                l.moments.len(),
                t.elapsed()
            );
            println!("   first {:?}\n   {last:?}", l.moments[0]);
            let gin = last.gas_l / 22.414;
            println!(
                "   C {:e} S {:e}",
                (last.carbon_mol + last.carbon_out_mol - liquor.carbon) / (gin * 0.4) - 1.0,
                (last.sulfide_mol + last.sulfide_out_mol) / (gin * 0.002) - 1.0
            );
        }
    }
}
