//! The verbs of the trade and what each does, in general: no word of it belongs to one plant, maker or machine.
//!
//! A verb with two words is also read with its object between them (`take the cover off`).

use crate::language::action::Act;
use crate::language::verb::Sense;

/// Verbs by what they do; they are parted by `,`.
pub(super) const TABLE: &[(Sense, &str)] = &[
    (
        Sense::Act(Act::Off),
        "remove, detach, withdraw, extract, demount, dismount, uninstall, unfit, unmount, unhook, unclip, unplug, \
         disconnect, uncouple, decouple, unthread, unship, take off, take out, take away, take down, lift off, \
         lift out, lift away, lift clear, pull off, pull out, draw off, draw out, pry off, pry out, prise off, \
         prise out, prize off, prize out, lever off, lever out, knock off, knock out, drive off, drive out, drift off, drift out, \
         press off, press out, push off, push out, slide off, slide out, slip off, slip out, screw off, screw out, tap off, tap out, ease off, ease out, work off, work out, hook off, hook out, pick off, \
         pick out, jack off, jack out, peel off, twist off, twist out, unwind off, swing off, roll off, roll out, \
         clip off, unbolt off, fish out, hoist out, hoist off, winch out, crane off",
    ),
    (Sense::Act(Act::Discard), "discard, scrap, throw away, throw out, dispose of, bin, junk, destroy"),
    (
        Sense::Act(Act::On),
        "fit, refit, re-fit, install, reinstall, re-install, instal, mount, remount, attach, reattach, re-attach, insert, reinsert, \
         re-insert, assemble, reassemble, re-assemble, reconnect, connect, couple, recouple, put back, put on, put in, \
         fit back, place back, screw on, screw in, slide on, slide in, thread on, thread in, push on, push in, press on, \
         press in, drive on, drive in, tap on, tap in, knock in, lower on, lower in, drop on, drop in, slip on, slip in, clip on, \
         hook on, bolt on, hang back, refix, re-fix",
    ),
    (Sense::Act(Act::Loosen), "loosen, slacken, slack off, slacken off, back off, unloosen, ease back"),
    (
        Sense::Act(Act::Tighten),
        "tighten, retighten, re-tighten, torque, retorque, re-torque, tighten up, tighten down, torque up, torque down, \
         torque-tighten, tension, re-tension, retension",
    ),
    (Sense::Act(Act::Snug), "hand tighten, finger tighten, snug, snug up, snug down, hand-tighten, finger-tighten"),
    (Sense::Act(Act::Open), "open, reopen, re-open"),
    (Sense::Act(Act::Shut), "close, shut, reclose, re-close, close off, shut tight"),
    (Sense::Act(Act::Lock), "lock, lock out, lock off, lockout, padlock, relock, lock-out"),
    (Sense::Act(Act::Unlock), "unlock"),
    (
        Sense::Fluid,
        "apply, smear, coat, lubricate, grease, oil, wet, moisten, dab, paint, brush on, dip, dress, spread, lube, pre-lubricate, prelubricate, regrease, re-grease",
    ),
    (
        Sense::Act(Act::Wipe),
        "wipe, clean, degrease, wash, wipe down, wipe off, clean off, clean up, clean out, wipe out, wipe up, wash down, wipe dry, wipe clean, swab, \
         mop, mop up, hoover, vacuum, dust",
    ),
    (Sense::Act(Act::Run), "run, start, restart, re-start, start up, switch on, turn on, power up, jog, inch"),
    (Sense::Act(Act::Halt), "switch off, turn off, shut down, power down, power off, shut off, stop"),
    (
        Sense::Act(Act::Fill),
        "fill, refill, re-fill, top up, prime, pressurise, pressurize, repressurise, charge, flood, fill up, top off",
    ),
    (
        Sense::Act(Act::Measure),
        "take a reading, take readings, take a measurement, take measurements, take the reading, measure, gauge, gage, weigh, remeasure, re-measure, clock, mike",
    ),
    (
        Sense::Act(Act::Record),
        "record, note, note down, write, write down, log, enter, sign, initial, fill in, photograph, tick, sign off, jot down",
    ),
    (Sense::Act(Act::Wait), "wait, pause, wait for"),
    (
        Sense::Act(Act::Confirm),
        "confirm, ensure, verify, make sure, make certain, prove, satisfy yourself, double-check, double check, reconfirm, see to it",
    ),
    (
        Sense::Act(Act::Look),
        "check, inspect, examine, look, look at, look for, look over, look up, compare, count, observe, watch, watch for, listen, listen for, \
         feel, feel for, recheck, re-check, see, read, review, assess, calculate, consult, refer to, find out, check off, identify, count up",
    ),
    (
        Sense::Act(Act::Mark),
        "mark, tag, tag out, label, scribe, number, match-mark, matchmark, mark up, punch-mark, chalk",
    ),
    (
        Sense::Act(Act::Hold),
        "hold, support, steady, restrain, grip, hold back, hold up, counterhold, counter-hold, grasp, brace, prop, prop up, cradle, sling, hold down, \
         keep hold of",
    ),
    (
        Sense::Act(Act::Turn),
        "rotate, revolve, spin, crank, bar over, turn over, rock, hand-turn, bar round, turn round",
    ),
    (
        Sense::Act(Act::Set),
        "adjust, zero, calibrate, preset, pre-set, readjust, re-adjust, align, realign, re-align, centre, center, level, line up, true up, regulate, reset, dial in",
    ),
    (
        Sense::Act(Act::Tell),
        "tell, inform, notify, warn, advise, ask, contact, call, report, alert, consult with, agree, announce",
    ),
    (Sense::Act(Act::Use), "use, employ"),
    (
        Sense::Neutral,
        "go, leave, collect, gather, fetch, get, obtain, prepare, keep, retain, save, wear, don, protect, avoid, touch, account for, hand over, hand back, \
         cool, heat, warm, cool down, warm up, preheat, pre-heat, deburr, polish, file, sand, follow, remember, consider, take care, be careful, be aware, \
         beware, beware of, mind, illuminate, ventilate, barricade, sweep, tidy, work, read through, lay out, set out, \
         discuss, brief, arrange, plan, schedule, request, draw up, stay, stand, stand back, stand clear, keep clear, study, familiarise, familiarize, estimate, smooth, take note, take photographs, take a photograph, pay attention, reuse, re-use, touch up, smoke, attempt to force, \
         walk, enter into, shine, sort, group, bag up, chill, freeze, scan, hand, recall, return to, obey, respect, expect",
    ),
    (
        Sense::Rest,
        "put, place, lay, rest, set down, put down, lay down, move, carry, transfer, shift, put aside, set aside, lay aside, put away, put to one side, \
         store, stow, park, bring, pile, stack",
    ),
    (
        Sense::Directional,
        "throw, pop, slide, push, press, lift, pull, draw, tap, drive, knock, ease, slip, roll, swing, thread, screw, lower, pry, prise, prize, lever, \
         drift, wind, jack, hoist, winch, twist, hook, pick, peel, raise, take, work back, squeeze, feed, guide, manoeuvre, maneuver, tilt, tip, hang, seat, \
         bed, offer up, offer, locate, position, introduce, unwind, break, tease, wiggle, thrust, crane, send",
    ),
    (
        Sense::PlaceWith,
        "chock, wedge, wrap, wrap up, tape, tape up, plug, cap, blank, blank off, cover, cover up, stop up, seal off, cap off, plug off, bung",
    ),
    (
        Sense::FastenWith,
        "tie, lash, strap, chain, tether, secure, fasten, fix, bolt, bolt down, bolt up, pin, clip, clamp, key, refasten, re-fasten, make fast, resecure, re-secure, stake, wire, lockwire, wire up, rivet, dowel, bolt together",
    ),
    (Sense::Renew, "renew, change, change out, exchange, swap, swap out, replace, substitute, replenish"),
    (
        Sense::Ambiguous(Act::Loosen),
        "undo, release, free, free up, unclamp, unfasten, crack, crack off, break loose, relax, relieve",
    ),
    (
        Sense::Ambiguous(Act::Off),
        "wind off, wind out, drop, force, damage, scratch, lose, exceed, bend, mix, hammer, strike, clear, leave out, leave off, omit, skip, unscrew, unbolt, dismantle, disassemble, strip, strip down, separate, unpin, unkey, split, strip out, take apart, pull apart, \
         scrape off, cut off, cut out, cut, tear off, back out, disengage, unload, drop out, break off, break out, free off, scrape, uncover, take up, \
         take in, unseat, eject, expose, unlatch, unpack, unwrap, dislodge, breakdown, break down, disassociate",
    ),
    (
        Sense::Ambiguous(Act::Open),
        "equalise, equalize, hinge, drain, empty, vent, bleed, depressurise, depressurize, open up, crack open, blow down, drain down, drain off, bleed off, bleed down, vent off, let off, purge",
    ),
    (Sense::Ambiguous(Act::Shut), "seal, latch, block, close up, block off, shut in"),
    (
        Sense::Ambiguous(Act::Lock),
        "isolate, de-energise, de-energize, deenergise, deenergize, immobilise, immobilize, make safe",
    ),
    (
        Sense::Ambiguous(Act::Unlock),
        "de-isolate, deisolate, restore, re-energise, re-energize, energise, energize, reinstate, recommission, commission",
    ),
    (
        Sense::Ambiguous(Act::Wipe),
        "flush, rinse, blow out, blow off, blow, flush out, flush through, rinse off, sanitise, sanitize, disinfect, dry, dry off, air-dry, brush, brush off, sterilise, sterilize",
    ),
    (
        Sense::Ambiguous(Act::On),
        "run on, run down, pump, engage, join, rebuild, build up, close together, pack, repack, load, link, build, marry, mate, remake, make up, make, stretch, snap, spring, glue, bond, weld, inject, pour, \
         add, reload, re-pack, hitch, lace, engage with, bring together, recharge, combine, bolt back, screw back",
    ),
    (
        Sense::Ambiguous(Act::Run),
        "operate, trip, cycle, stroke, exercise, actuate, activate, test, test-run, trial, try out, commence, begin, bring up, work up, increase, build pressure, admit, bump, let in",
    ),
    (Sense::Ambiguous(Act::Halt), "kill, deactivate, interrupt, pull up, quit"),
    (
        Sense::Ambiguous(Act::Tighten),
        "nip up, run up, spin on, spin down, run in, wind in, wind on, overtighten, over-tighten, overtorque, pull down, pull together, draw together, draw up tight, nip, pinch, pinch up, compress",
    ),
    (
        Sense::Ambiguous(Act::Turn),
        "switch, invert, flip, reverse, unroll, turn back, turn in, turn out, turn down, turn up",
    ),
    (
        Sense::Ambiguous(Act::Set),
        "treat, proceed, give, track, complete, perform, carry out, set up, reduce, decrease, bring down, let down, let go, modify, alter, correct, trim, shim, synchronise, synchronize, match, balance, repair, finish, continue, repeat, redo, resume, handle, manage, process, service, maintain, overhaul, recondition, rectify, ready",
    ),
    (Sense::Causative, "let, allow, have, permit, cause, enable, leave to"),
    (Sense::Return, "return, send back, take back, give back, bring back, hand in"),
    (Sense::Spin, "turn"),
    (Sense::Put, "set"),
    (Sense::Try, "try, attempt"),
];
