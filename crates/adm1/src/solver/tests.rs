use super::*;
use std::sync::Arc;

#[test]
fn lu_equals_dense_elimination() {
    // A fixed pseudo-random sparse matrix with a strong diagonal.
    let n = 12;
    let mut seed = 7u64;
    let mut next = || {
        seed = seed
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (seed >> 33) as f64 / (1u64 << 31) as f64
    };
    let entries: Vec<(usize, usize)> = (0..n)
        .flat_map(|i| (0..n).map(move |j| (i, j)))
        .filter(|_| next() < 0.25)
        .collect();
    let pattern = Pattern::new(n, entries.iter().copied());
    let lu = Lu::plan(&pattern);
    let mut values = vec![0.0; lu.filled()];
    let mut dense = vec![vec![0.0; n]; n];
    // The last unknown is algebraic: no term on its diagonal.
    let states = n - 1;
    for &(i, j) in entries
        .iter()
        .chain(&(0..n).map(|i| (i, i)).collect::<Vec<_>>())
    {
        let value = if (i, j) == (n - 1, n - 1) {
            -4.0
        } else {
            next() - 0.5
        };
        values[lu.place(i, j).expect("it is held")] = value;
        dense[i][j] = -value;
    }
    for i in 0..states {
        dense[i][i] += 4.0;
    }
    lu.factor(4.0, states, &mut values);
    let b: Vec<f64> = (0..n).map(|i| i as f64 - 3.0).collect();
    let mut ordered: Vec<f64> = lu.order().iter().map(|&i| b[i]).collect();
    lu.solve(&values, &mut ordered);
    let mut x = vec![0.0; n];
    for (&i, v) in lu.order().iter().zip(ordered) {
        x[i] = v;
    }
    for i in 0..n {
        let sum: f64 = (0..n).map(|j| dense[i][j] * x[j]).sum();
        assert!(
            (sum - b[i]).abs() < 1e-12,
            "row {i}: {sum} against {}",
            b[i]
        );
    }
}

/// y1' = -k1 y1 + k2 y2 y2, y2' = k1 y1 - k2 y2 y2 - c y2: smooth, nonlinear.
struct Pair;
impl<T: Num> System<T> for Pair {
    fn states(&self) -> usize {
        2
    }
    fn rates(&mut self, y: &[T], f: &mut [T]) {
        f[0] = y[0].scale(-2.0) + y[1] * y[1];
        f[1] = y[0].scale(2.0) - y[1] * y[1] - y[1].scale(0.5);
    }
    fn rates_and_jacobian(&mut self, y: &[T], f: &mut [T], j: &mut [T]) {
        self.rates(y, f);
        j[0] = T::constant(-2.0);
        j[1] = y[1].scale(2.0);
        j[2] = T::constant(2.0);
        j[3] = y[1].scale(-2.0) - T::constant(0.5);
    }
}

fn pair_after(fixed_steps: usize) -> f64 {
    let pattern = Pattern::new(2, [(0, 1), (1, 0)]);
    let mut y = [1.0, 0.0];
    for _ in 0..fixed_steps {
        // One step an interval: a wide tolerance accepts it whatever the error.
        let mut s = Stepper::<f64>::new(Arc::new(Lu::plan(&pattern)), 2);
        s.restart_step_for_test(1.0 / fixed_steps as f64);
        let wide = Tolerance {
            relative: 1e9,
            absolute: vec![1e9; 2],
        };
        s.advance(&mut Pair, &mut y, 1.0 / fixed_steps as f64, &wide)
            .unwrap();
        assert_eq!(s.effort.steps, 1);
    }
    y[1]
}

#[test]
fn the_method_is_of_third_order() {
    let exact = pair_after(4096);
    let (coarse, fine) = (
        (pair_after(32) - exact).abs(),
        (pair_after(64) - exact).abs(),
    );
    let order = (coarse / fine).log2();
    assert!((2.8..3.3).contains(&order), "order {order}");
}

#[test]
fn an_impossible_problem_ends_with_time_and_count() {
    struct Bad;
    impl System<f64> for Bad {
        fn states(&self) -> usize {
            1
        }
        fn rates(&mut self, _: &[f64], f: &mut [f64]) {
            f[0] = f64::NAN;
        }
        fn rates_and_jacobian(&mut self, y: &[f64], f: &mut [f64], j: &mut [f64]) {
            self.rates(y, f);
            j[0] = 0.0;
        }
    }
    let pattern = Pattern::new(1, []);
    let mut s = Stepper::<f64>::new(Arc::new(Lu::plan(&pattern)), 1);
    let t = Tolerance {
        relative: 1e-3,
        absolute: vec![1e-6],
    };
    let failure = s.advance(&mut Bad, &mut [1.0], 1.0, &t).unwrap_err();
    assert!(failure.day == 0.0 && failure.tries > 1);
}
