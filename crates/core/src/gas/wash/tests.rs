use super::constants::Constants;
use super::equilibrium::{Liquor, closed, under_gas};
use super::life::*;
use super::liquor::*;

#[test]
fn explore() {
    let k = Constants::at(25.0).unwrap();
    let l = Alkali::SodiumCarbonate.liquor(0.5).unwrap();
    for i in 0..40 {
        let p = 10f64.powf(-6.0 + i as f64 * 0.15);
        let b = under_gas(&k, &l, p, 0.001);
        let c = closed(&k, &b.liquor);
        println!("{p:e} {:e} pH {} {} {:?}", c.co2_atm / p - 1.0, b.ph, c.ph, b.liquor.carbon);
    }
    let jar = Jar { water_kg: 1.0, liquor:l, depth_m: 0.15, t_c: 25.0 };
    let l = life(&[jar], RawGas::new(0.4, 2000.0).unwrap(), 103_500.0, Contact::in_jar(0.15)[1], SpentRule::default()).unwrap();
    for m in l.moments.iter().step_by(40) { println!("{m:?}"); }
}
