//! Clean seasons: random tickets that are all as they should be, settled week by week, have no exception.

use jiff::civil::{Date, date};
use serde_json::{Value, json};
use tests::{TestApp, log};

use super::clean::{Clean, hewn, listed};

/// Numbers that come out the same for the same seed (xorshift, Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn below(&mut self, bound: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0 % bound
    }

    fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        let count = u64::try_from(of.len()).expect("a count");
        of[usize::try_from(self.below(count)).expect("a place")]
    }
}

/// A season in the making.
struct Season<'a> {
    clean: &'a Clean,
    chance: Chance,
    /// The next number of book A.
    ticket: u32,
    /// The next number that is chalked on a stick.
    stick: u32,
}

impl Season<'_> {
    fn log(&mut self) -> Value {
        let diameter = (16 + self.chance.below(33)).to_string();
        let half = if self.chance.below(2) == 0 { ".5" } else { "" };
        // From 8 to 24 inches, in half inches as often as not.
        let diameter = format!("{}{half}", diameter.parse::<u64>().expect("a number") / 2);
        let mut stick = log(&diameter, self.chance.one(&["10", "12", "14", "16", "16", "16"]));
        stick["species"] = self.chance.one(&["white pine", "hemlock", "Red pine"]).into();
        if self.chance.below(4) == 0 {
            let feet = self.chance.one(&["2", "4"]);
            stick["defects"] = json!([{"kind": "butt_rot", "method": "length_cut", "length_ft": feet}]);
        }
        stick
    }

    fn numbered_log(&mut self) -> Value {
        let mut stick = self.log();
        self.stick += 1;
        stick["stick_number"] = self.stick.to_string().into();
        stick
    }

    fn post(&mut self, mut sent: Value) {
        sent["number"] = self.ticket.into();
        sent["scaler"] = self.chance.one(&["First scaler", "Second scaler", "Third scaler"]).into();
        self.ticket += 1;
        let _accepted = self.clean.post(&sent);
    }

    /// A turn whose sticks were felled, skidded and delivered, all on one ticket.
    fn plain(&mut self, day: &str) {
        let sticks: Vec<_> = (0..3 + self.chance.below(4)).map(|_| self.log()).collect();
        self.post(self.clean.ticket(0, day, &sticks));
    }

    /// Sticks that are scaled at the stump, skidded the same day, and delivered from there.
    fn by_stages(&mut self, day: &str) {
        let sticks: Vec<_> = (0..3).map(|_| self.numbered_log()).collect();
        let (fallers, team) = (self.clean.outfit.felling_crew.clone(), self.clean.outfit.teamster.clone());
        self.post(self.clean.work(0, day, &[("felling", &fallers)], &sticks));
        let mut skidded = self.clean.work(0, day, &[("skidding", &team)], &sticks);
        skidded["turn"] = json!({"moved_by": "team"});
        self.post(skidded);
        let mut delivered = self.clean.work(0, day, &[], &sticks);
        delivered["delivered_to"] = self.clean.outfit.mill_id.clone().into();
        self.post(delivered);
    }

    /// Logs that are felled under numbers and hewn where they fell.
    fn hewing(&mut self, day: &str) {
        let mut logs = Vec::new();
        let mut timbers = Vec::new();
        for _ in 0..3 {
            let (diameter, side) = [("16", "11"), ("17", "11.5"), ("18", "12.5"), ("20", "13.5")]
                [usize::try_from(self.chance.below(4)).expect("a place")];
            let mut stick = log(diameter, "16");
            self.stick += 1;
            let from = self.stick.to_string();
            stick["stick_number"] = from.clone().into();
            logs.push(stick);
            self.stick += 1;
            timbers.push(hewn(&self.stick.to_string(), &from, side));
        }
        let (fallers, team) = (self.clean.outfit.felling_crew.clone(), self.clean.outfit.teamster.clone());
        self.post(self.clean.work(0, day, &[("felling", &fallers)], &logs));
        let mut hewed =
            self.clean.work(0, day, &[("hewing", &self.clean.hewers), ("skidding", &team)], &timbers);
        hewed["turn"] = json!({"moved_by": "team"});
        self.post(hewed);
    }

    /// A day's work, and the turns that somebody else counted of it.
    fn day(&mut self, day: Date) {
        let text = day.to_string();
        let mut turns = 0;
        for _ in 0..1 + self.chance.below(2) {
            self.plain(&text);
            turns += 1;
        }
        if self.chance.below(2) == 0 {
            self.by_stages(&text);
            turns += 1;
        }
        if self.chance.below(3) == 0 {
            self.hewing(&text);
            turns += 1;
        }
        let count = json!({"job_id": self.clean.outfit.job, "counted_on": text, "turns": turns,
                           "party": {"crew_id": self.clean.outfit.teamster}, "counted_by": "Checker at the gate"});
        let _filed = self.clean.outfit.bookkeeper.post("/v1/turn-counts", &count).expect(201);
    }
}

/// Four weeks of a season; a ticket in ten is corrected before its week is posted.
fn play(app: &TestApp, seed: u64) -> Clean {
    let clean = Clean::new(app);
    app.clock.set("2026-07-06T13:00:00Z".parse().expect("a time"));
    let mut season = Season { clean: &clean, chance: Chance(seed), ticket: 4, stick: 0 };
    let mut day = date(2026, 6, 4);
    for week in ["2026-06-06", "2026-06-13", "2026-06-20", "2026-06-27"] {
        while day.to_string().as_str() <= week {
            season.day(day);
            day = day.tomorrow().expect("a day");
        }
        let wrong = clean.post(&clean.ticket(season.ticket, week, &[log("12", "16"), log("13", "14")]));
        let right =
            clean.ticket(season.ticket + 1, week, &[log("12.5", "16"), log("13", "14"), log("8", "12")]);
        season.ticket += 2;
        let correction = json!({"reason": "a stick was left out", "ticket": right});
        let path = format!("/v1/tickets/{wrong}/corrections");
        let _right = clean.outfit.bookkeeper.post(&path, &correction).expect(201);
        let count = json!({"job_id": clean.outfit.job, "counted_on": week, "counted_by": "Checker at the gate",
                           "party": {"crew_id": clean.outfit.teamster}, "turns": turns_of(&clean, week)});
        let _filed = clean.outfit.bookkeeper.post("/v1/turn-counts", &count).expect(201);
        app.clock.set("2026-07-06T14:00:00Z".parse().expect("a time"));
        let _posted = clean.outfit.settle(week);
    }
    clean
}

/// How many standing tickets of a day tell of a turn.
fn turns_of(clean: &Clean, day: &str) -> usize {
    let path = format!("/v1/tickets?from={day}&to={day}&standing=true&limit=500");
    let list = clean.outfit.contractor.get(&path).expect(200);
    list["items"].as_array().expect("items").iter().filter(|one| one["ticket"]["turn"].is_object()).count()
}

#[test]
fn clean_seasons_have_no_exception() {
    let app = TestApp::start();
    for seed in [20_260_606, 7, 0x5eed] {
        let clean = play(&app, seed);
        let found = listed(&clean.outfit.contractor, "from=2026-06-01&to=2026-06-30");
        assert!(found.is_empty(), "seed {seed}: {found:#?}");
        let tickets = clean.outfit.contractor.get("/v1/tickets?limit=500").expect(200);
        assert!(tickets["items"].as_array().is_some_and(|list| list.len() > 60), "seed {seed}");
    }
}
