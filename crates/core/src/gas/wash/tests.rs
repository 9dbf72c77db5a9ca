use super::constants::Constants;
use super::equilibrium::{Liquor, closed, under_gas};

#[test]
fn example_13() {
    let k = Constants::at(25.0).expect("in range");
    let fresh = Liquor { potassium: 1.0, carbon: 0.5, ..Liquor::default() };
    println!("{:?}", closed(&k, &fresh));
    let b = under_gas(&k, &fresh, 0.4, 0.002);
    println!("{b:?} {}", b.liquor.carbon - 0.5);
    for t in [5.,25.,40.] {
    let k = Constants::at(t).expect("in range");
    let lime = Liquor { calcium: 0.5, ..Liquor::default() };
    println!("{:?}", closed(&k, &lime));
    println!("{:?}", under_gas(&k, &lime, 0.4, 0.002));
    let half = Liquor { carbon: 0.25, ..lime};
    println!("{:?}", closed(&k, &half));
    }
}
