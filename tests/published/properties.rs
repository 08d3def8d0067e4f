//! What must hold for every figure, whatever it is: monotone, its own inverse, the same in any order.

use matchmark::analysis::fastener::class::Class;
use matchmark::analysis::fastener::friction::NutFactor;
use matchmark::analysis::fastener::hexagon::bearing_diameter;
use matchmark::analysis::fastener::lever::Lever;
use matchmark::analysis::fastener::load::Load;
use matchmark::analysis::fastener::preload::{
    Friction, assembly_preload, preload, preload_by_friction, torque, torque_by_friction,
};
use matchmark::analysis::fastener::thread::Thread;
use matchmark::analysis::fastener::tool::Deviation;
use matchmark::analysis::pattern::order;
use matchmark::analysis::working::Source;
use matchmark::model::family::JointPattern;
use proptest::prelude::*;

fn threads() -> Vec<Thread> {
    Thread::all().filter(|thread| bearing_diameter(thread).is_some()).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
}

proptest! {
    #[test]
    fn torque_grows_with_preload_and_friction(
        thread in proptest::sample::select(threads()),
        force in 10.0..900_000.0_f64,
        more in 1.000_001..3.0_f64,
        (low, high) in (0.05..0.55_f64, 1.000_001..1.1_f64).prop_map(|(low, factor)| (low, low * factor)),
    ) {
        let d = thread.diameter;
        prop_assert!(torque(low, d, force * more) > torque(low, d, force));
        prop_assert!(torque(high, d, force) > torque(low, d, force));
        let bearing = bearing_diameter(&thread).expect("filtered");
        let friction = |thread, head| Friction { thread, head };
        let by_friction = |thread_friction, head, force| torque_by_friction(&thread, bearing, friction(thread_friction, head), force);
        prop_assert!(by_friction(low, low, force * more) > by_friction(low, low, force));
        prop_assert!(by_friction(high, low, force) > by_friction(low, low, force));
        prop_assert!(by_friction(low, high, force) > by_friction(low, low, force));
        // The more friction in the thread, the more it is twisted, and the less it may be pulled.
        prop_assert!(assembly_preload(&thread, 640.0, 0.9, high) < assembly_preload(&thread, 640.0, 0.9, low));
        prop_assert!(assembly_preload(&thread, 640.0, 0.9, low) < 0.9 * 640.0 * thread.stress_area());
    }

    #[test]
    fn preload_and_torque_are_inverse(
        thread in proptest::sample::select(threads()),
        force in 10.0..900_000.0_f64,
        factor in 0.05..0.6_f64,
        head in 0.02..0.5_f64,
    ) {
        let d = thread.diameter;
        prop_assert!(near(preload(factor, d, torque(factor, d, force)), force));
        let bearing = bearing_diameter(&thread).expect("filtered");
        let friction = Friction { thread: factor, head };
        let there = torque_by_friction(&thread, bearing, friction, force);
        prop_assert!(near(preload_by_friction(&thread, bearing, friction, there), force));
    }

    #[test]
    fn a_setting_is_what_gives_the_torque(
        torque in 0.1..2000.0_f64,
        length in 50.0..3000.0_f64,
        reach in 0.0..500.0_f64,
        angle in 0.0..90.0_f64,
    ) {
        let lever = |angle| Lever::new(length, reach, angle).expect("a lever");
        prop_assert!(near(lever(angle).torque(lever(angle).setting(torque)), torque));
        // Across the handle an adapter changes nothing, and neither does one without length.
        prop_assert_eq!(lever(90.0).setting(torque).to_bits(), (torque * length / length).to_bits());
        prop_assert!(near(Lever::new(length, 0.0, angle).expect("a lever").setting(torque), torque));
        // It is never above the torque up to 90°, and never below it beyond.
        prop_assert!(lever(angle).setting(torque) <= torque * (1.0 + 1e-12));
        if let Ok(back) = Lever::new(length, reach, 180.0 - angle) {
            prop_assert!(back.setting(torque) >= torque * (1.0 - 1e-12));
        }
    }

    #[test]
    fn the_band_holds_the_figure_and_the_load_scales(torque in 0.1..500.0_f64, factor in 0.05..0.6_f64) {
        let thread = Thread::parse("M12").expect("listed");
        let class = Class::parse("8.8").expect("listed");
        let load = |torque| {
            let strength = class.strength(&thread).expect("in its range");
            Load::new(thread.clone(), class.clone(), strength, NutFactor::given(factor, "given", Source::given("given")), torque)
        };
        let share = load(torque).share();
        prop_assert!(share.low < share.nominal && share.nominal < share.high);
        prop_assert!(near(load(torque * 2.0).share().nominal, share.nominal * 2.0));
        // What the wrench may be off by moves both ends out, the more the wider, and never the figure.
        let with = |off: f64| load(torque).with_tool(Some(Deviation { share: off, source: Source::given("given") })).share();
        let (narrow, wide) = (with(0.04), with(0.06));
        prop_assert!(wide.low < narrow.low && narrow.low < share.low && share.high < narrow.high && narrow.high < wide.high);
        prop_assert!(near(wide.nominal, share.nominal));
    }

    #[test]
    fn every_bolt_is_tightened_once_and_its_opposite_next(count in 2..200_u32, rows in proptest::bool::ANY) {
        let pattern = if rows { JointPattern::Rows } else { JointPattern::Cross };
        let sequence = order(pattern, count).expect("more than one bolt").sequence;
        let mut seen = sequence.clone();
        seen.sort_unstable();
        prop_assert_eq!(seen, (1..=count).collect::<Vec<_>>());
        if count % 2 == 0 {
            prop_assert!(sequence.chunks(2).all(|pair| pair[0].abs_diff(pair[1]) == count / 2));
        }
    }

    #[test]
    fn no_text_makes_the_readers_fail(text in "\\PC{0,16}") {
        let thread = Thread::parse(&text);
        let class = Class::parse(&text);
        if let (Ok(thread), Ok(class)) = (thread, class) {
            let _ = class.strength(&thread);
        }
    }
}
