//! Worked falls, published.

use units::Grade;

fn grade(text: &str) -> Grade {
    Grade::parse(text).expect("a grade")
}

fn near(got: f64, want: f64) {
    assert!((got - want).abs() < 1e-9, "{got} is not {want}");
}

#[test]
fn published_falls() {
    // Trades-math study guide (case WE25, read): 30 ft at 1/4 in per ft fall 7.5 in.
    near(Grade::QUARTER.fall_over(30.0 * 12.0), 7.5);
    // The same guide (case WE27, read): 100 ft at 2 percent fall 2 ft, which is 0.24 in per ft.
    near(grade("2%").fall_over(100.0 * 12.0), 24.0);
    near(grade("2%").in_per_ft(), 0.24);
    // A plug maker's testing sheet and tips sheet (cases WE29 and WE30, read): 600 ft and 500 ft at 0.01 stand 6 and 5 ft of
    // water on the lower plug.
    near(grade("1%").fall_over(600.0 * 12.0), 72.0);
    near(grade("1%").fall_over(500.0 * 12.0), 60.0);
    // Modern Plumbing (trade textbook, case WE24, read), bath branch: a fall of 2-3/8 in below an axis 1 in under the joists
    // ends 3-3/8 in under them. 2-3/8 in at 1/4 in per ft is a branch of 9 ft 6 in.
    near(1.0 + Grade::QUARTER.fall_over(9.5 * 12.0), 3.375);
}
