//! The shop sheet: prices, stick lengths, saw and crew, in one RON file beside the layout.
//!
//! ```
//! let text = r#"(
//!     currency: "$",
//!     prices: {
//!         "3 in wye": "9.50 each",
//!         "3 in pipe": "2.10 per ft",
//!         "2 in pipe, 10'": "14 each",
//!         "cement": "16 per quart",
//!     },
//!     sticks: { "3 in": ["10'", "20'"] },
//!     saw: "1/8 in",
//!     spare: "1 in 10",
//!     carry: (length: "10'", weight: "40 lb"),
//! )"#;
//! let (shop, problems) = takeoff::parse_shop(text);
//! assert_eq!(problems, []);
//! assert_eq!(shop.prices["3 in wye"].amount, 9.5);
//! ```
//!
//! A price says what it is for (each, per ft, per quart); one without is refused, for a stick and a foot of pipe cost
//! differently. What does not belong here: what the prices are put on.

use catalog::{BenchSheet, Form, Part, Problem};
use ron::value::RawValue;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::fmt;
use units::{Length, Size};

use crate::shop::{Per, Price, Shop, stick_name};

/// More prices than this are refused: several times what a shop for drain pipe has on its shelf.
pub const MOST_PRICES: usize = 5_000;

/// Goods that are neither pipe nor fittings, as the buying list names them, and what they are sold by.
const GOODS: [(&str, Per); 7] = [
    ("quart of cement", Per::Quart),
    ("quart of primer", Per::Quart),
    ("stake", Per::Each),
    ("strap", Per::Each),
    ("set of closet bolts", Per::Each),
    ("box-out form", Per::Each),
    ("closet collar", Per::Each),
];

/// Goods named by a pipe size before them: `3 in boot`.
const SIZED: [(&str, Per); 5] = [
    ("wrap", Per::Foot),
    ("boot", Per::Each),
    ("flexible coupling", Per::Each),
    ("sleeve", Per::Each),
    ("test plug", Per::Each),
];

/// How a shop sheet is written.
const FORM: Form = Form {
    whole: "a shop sheet",
    bracketed: "a shop sheet",
    example: r#"(currency: "$", prices: { "3 in wye": "9.50 each" })"#,
};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written<'a> {
    #[serde(default)]
    currency: Option<String>,
    #[serde(borrow, default)]
    prices: Pairs<'a>,
    #[serde(borrow, default)]
    sticks: Pairs<'a>,
    #[serde(borrow, default)]
    saw: Option<&'a RawValue>,
    #[serde(borrow, default)]
    spare: Option<&'a RawValue>,
    #[serde(default)]
    carry: Option<Carry>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Carry {
    #[serde(default)]
    length: Option<String>,
    #[serde(default)]
    weight: Option<String>,
}

/// A map in its order, doubles kept.
#[derive(Default)]
struct Pairs<'a>(Vec<(String, &'a RawValue)>);

impl<'de: 'a, 'a> Deserialize<'de> for Pairs<'a> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_map(PairsVisitor)
    }
}

struct PairsVisitor;

impl<'de> serde::de::Visitor<'de> for PairsVisitor {
    type Value = Pairs<'de>;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a map: { \"name\": \"value\", ... }")
    }

    fn visit_map<A: serde::de::MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
        let mut out = Vec::new();
        while let Some(name) = map.next_key::<String>()? {
            out.push((name, map.next_value::<&RawValue>()?));
        }
        Ok(Pairs(out))
    }
}

/// Reads a shop sheet. What can be read is kept; each line that cannot be is told. The empty sheet is [`Shop::default`].
pub fn parse_shop(text: &str) -> (Shop, Vec<Problem>) {
    let mut reader = Reader {
        text,
        shop: Shop::default(),
        problems: Vec::new(),
    };
    if text.trim().is_empty() {
        return (reader.shop, reader.problems);
    }
    let options =
        ron::Options::default().with_default_extension(ron::extensions::Extensions::IMPLICIT_SOME);
    match options.from_str::<Written>(text) {
        Ok(written) => reader.read(&written),
        Err(error) => reader.problems.push(Problem {
            line: error.span.end.line,
            item: String::new(),
            says: format!("{}; nothing of this file was used", FORM.torn(&error.code)),
        }),
    }
    reader.problems.sort_by_key(|problem| problem.line);
    (reader.shop, reader.problems)
}

struct Reader<'a> {
    text: &'a str,
    shop: Shop,
    problems: Vec<Problem>,
}

impl Reader<'_> {
    fn read(&mut self, written: &Written) {
        if written.prices.0.len() > MOST_PRICES {
            let says = format!(
                "{} prices; {MOST_PRICES} is the most",
                written.prices.0.len()
            );
            self.tell(1, "prices", says);
            return;
        }
        let mut symbol = written.currency.clone().unwrap_or_default();
        let mut seen: BTreeMap<String, usize> = BTreeMap::new();
        for (name, raw) in &written.prices.0 {
            let line = self.line(raw);
            if let Err(says) = self.price(name, raw, line, &mut symbol, &mut seen) {
                self.tell(line, name, says);
            }
        }
        self.shop.currency = symbol;
        for (size, raw) in &written.sticks.0 {
            if let Err(says) = self.sticks(size, raw) {
                self.tell(self.line(raw), size, says);
            }
        }
        if let Some(raw) = written.saw {
            self.field(raw, "saw", saw, |shop, kerf| shop.kerf = kerf);
        }
        if let Some(raw) = written.spare {
            self.field(raw, "spare", spare, |shop, part| shop.spare = part);
        }
        if let Some(carry) = &written.carry {
            self.carry(carry);
        }
    }

    fn tell(&mut self, line: usize, item: &str, says: String) {
        self.problems.push(Problem {
            line,
            item: item.to_owned(),
            says,
        });
    }

    /// The line a slice of the text begins on, from 1.
    fn line(&self, raw: &RawValue) -> usize {
        let slice = raw.get_ron();
        let lead = slice.len() - slice.trim_start().len();
        let start = (slice.as_ptr() as usize + lead).saturating_sub(self.text.as_ptr() as usize);
        1 + self
            .text
            .get(..start)
            .unwrap_or_default()
            .matches('\n')
            .count()
    }

    fn price(
        &mut self,
        name: &str,
        raw: &RawValue,
        line: usize,
        symbol: &mut String,
        seen: &mut BTreeMap<String, usize>,
    ) -> Result<(), String> {
        let (key, sold_by) = named(name)?;
        let (money, price) = price(&text_of(raw)?, sold_by)?;
        if !money.is_empty() && !symbol.is_empty() && money != *symbol {
            return Err(format!(
                "a price in {money} beside others in {symbol}; give all in one currency"
            ));
        }
        if symbol.is_empty() {
            *symbol = money;
        }
        if let Some(before) = seen.insert(key.clone(), line) {
            return Err(format!(
                "{key} has a price on line {before} already; keep one"
            ));
        }
        self.shop.prices.insert(key, price);
        Ok(())
    }

    fn sticks(&mut self, size: &str, raw: &RawValue) -> Result<(), String> {
        let size = Size::parse(size).map_err(|error| error.to_string())?;
        let texts: Vec<String> = raw
            .into_rust()
            .map_err(|_| "no list of lengths; write [\"10'\", \"20'\"]".to_owned())?;
        let mut lengths = Vec::new();
        for text in &texts {
            let length = Length::parse(text)
                .map_err(|error| error.to_string())?
                .inches();
            if !(12.0..=480.0).contains(&length) {
                return Err(format!("no stick of pipe is {text} long; 1 ft to 40 ft"));
            }
            lengths.push(length);
        }
        if lengths.is_empty() {
            return Err("no lengths; write [\"10'\", \"20'\"]".into());
        }
        lengths.sort_by(f64::total_cmp);
        lengths.dedup();
        self.shop.sticks.insert(size, lengths);
        Ok(())
    }

    fn field(
        &mut self,
        raw: &RawValue,
        name: &str,
        read: fn(&str) -> Result<f64, String>,
        put: fn(&mut Shop, f64),
    ) {
        match text_of(raw).and_then(|text| read(&text)) {
            Ok(value) => put(&mut self.shop, value),
            Err(says) => self.tell(self.line(raw), name, says),
        }
    }

    fn carry(&mut self, carry: &Carry) {
        let line = self
            .text
            .find("carry")
            .map_or(1, |at| 1 + self.text[..at].matches('\n').count());
        if let Some(length) = &carry.length {
            match Length::parse(length).map(Length::inches) {
                Ok(inches) if inches >= 24.0 => self.shop.carry_length = inches,
                Ok(_) => self.tell(
                    line,
                    "carry",
                    "less than 2 ft is too short to carry anything".into(),
                ),
                Err(error) => self.tell(line, "carry", error.to_string()),
            }
        }
        if let Some(weight) = &carry.weight {
            match pounds(weight) {
                Some(pounds) if pounds >= 5.0 => self.shop.carry_weight = pounds,
                Some(_) | None => {
                    let says = format!(
                        "{weight:?} is no weight to carry; write \"40 lb\" or \"18 kg\", 5 lb at least"
                    );
                    self.tell(line, "carry", says);
                }
            }
        }
    }
}

/// The name as the buying list has it, and what it is sold by (a fitting or stick: each; pipe: the foot).
fn named(name: &str) -> Result<(String, Per), String> {
    let plain = name.trim().to_lowercase();
    let plain = plain.strip_prefix("foot of ").unwrap_or(&plain);
    let same = |good: &str| good == plain || good.strip_prefix("quart of ") == Some(plain);
    if let Some((good, per)) = GOODS.iter().find(|(good, _)| same(good)) {
        return Ok(((*good).to_owned(), *per));
    }
    if let Some(other) = of_other_pipe(plain) {
        return Ok(other);
    }
    if let Some((size, rest)) = plain.split_once(" pipe") {
        let size = Size::parse(size).map_err(|error| error.to_string())?;
        let rest = rest.trim_start_matches([',', ' ']);
        if rest.is_empty() {
            return Ok((format!("{size} pipe"), Per::Foot));
        }
        let length = Length::parse(rest).map_err(|error| error.to_string())?;
        return Ok((stick_name(size, length.inches()), Per::Each));
    }
    for (good, per) in SIZED {
        if let Some(size) = plain.strip_suffix(good) {
            let size = Size::parse(size.trim()).map_err(|error| error.to_string())?;
            let of = if per == Per::Foot { "foot of " } else { "" };
            return Ok((format!("{of}{size} {good}"), per));
        }
    }
    let unknown = |error: catalog::NameError| {
        let others: Vec<&str> = GOODS.iter().map(|(good, _)| *good).collect();
        format!(
            "{error}; or \"3 in pipe\", \"3 in pipe, 10'\", {}, or a size with {}",
            others.join(", "),
            SIZED.map(|(good, _)| good).join(", ")
        )
    };
    let part = made(Part::parse(name).map_err(unknown)?)?;
    Ok((part.to_string(), Per::Each))
}

/// A fitting that the catalogue has; a price for another would never be used.
fn made(part: Part) -> Result<Part, String> {
    let (catalog, _) = catalog::catalog(&BenchSheet::default());
    let found = catalog.find(part.pattern, part.sizes);
    found.map(|_| part).map_err(|missing| missing.to_string())
}

/// What goes with pipe that is not drain pipe, named by its outside diameter: `foot of 1 1/8" pipe wrap`.
fn of_other_pipe(plain: &str) -> Option<(String, Per)> {
    let goods = [("wrap", Per::Foot), ("boot", Per::Each), ("", Per::Foot)];
    goods.into_iter().find_map(|(good, per)| {
        let od = plain.strip_suffix(good)?.trim_end().strip_suffix("pipe")?;
        let od = od.trim().strip_suffix('"')?;
        let od = Length::parse(&format!("{od} in")).ok()?.inches();
        let of = if per == Per::Foot { "foot of " } else { "" };
        let name = format!("{of}{} pipe {good}", units::inches_text(od, 16));
        Some((name.trim_end().to_owned(), per))
    })
}

fn text_of(raw: &RawValue) -> Result<String, String> {
    raw.into_rust::<String>().map_err(|_| {
        format!(
            "{} has no unit; write it as text, like \"9.50 each\", \"2.10 per ft\" or \"1/8 in\"",
            raw.get_ron().trim()
        )
    })
}

/// `$9.50 each`, `2.10 per ft`, `2.10/ft`, `16 a quart`: the currency's sign and the price.
fn price(text: &str, sold_by: Per) -> Result<(String, Price), String> {
    let spaced = text.trim().replace('/', " per ");
    let start = spaced
        .find(|c: char| c.is_ascii_digit() || c == '.')
        .ok_or_else(|| format!("{text:?} is no price; write \"9.50 {}\"", asked(sold_by)))?;
    let (sign, rest) = spaced.split_at(start);
    let sign = sign.trim();
    if sign.starts_with('-') {
        return Err(format!("{text:?} is less than nothing"));
    }
    let end = rest
        .find(|c: char| !(c.is_ascii_digit() || c == '.'))
        .unwrap_or(rest.len());
    let amount: f64 = rest[..end]
        .parse()
        .map_err(|_| format!("{text:?} is no price; write \"9.50 {}\"", asked(sold_by)))?;
    let words: Vec<&str> = rest[end..].split_whitespace().collect();
    let unit: Vec<&str> = words
        .iter()
        .copied()
        .filter(|word| !matches!(*word, "per" | "a" | "the"))
        .collect();
    let (money, unit) = match unit[..] {
        [] => {
            return Err(format!(
                "the price {text:?} has no unit; write \"{text} {}\"",
                asked(sold_by)
            ));
        }
        [unit] => ("", unit),
        [money, unit] => (money, unit),
        [..] => {
            return Err(format!(
                "{text:?} is no price; write \"9.50 {}\"",
                asked(sold_by)
            ));
        }
    };
    let (per, share) = unit_of(unit).ok_or_else(|| {
        format!(
            "{unit:?} is nothing this is sold by; write \"{}\"",
            asked(sold_by)
        )
    })?;
    if per != sold_by {
        return Err(format!(
            "it is counted by the {}, not by the {}; write \"{}\"",
            sold_by.word(),
            per.word(),
            asked(sold_by)
        ));
    }
    let sign = if sign.is_empty() { money } else { sign };
    let amount = amount * share;
    if !amount.is_finite() || amount > 1e6 {
        return Err(format!("{text:?} is beyond any price"));
    }
    Ok((sign.to_owned(), Price { amount, per }))
}

fn asked(per: Per) -> &'static str {
    match per {
        Per::Each => "each",
        Per::Foot => "per ft",
        Per::Quart => "per quart",
    }
}

/// What a unit word means, and how many of our units' prices its price is.
fn unit_of(word: &str) -> Option<(Per, f64)> {
    match word {
        "each" | "ea" | "piece" | "stick" => Some((Per::Each, 1.0)),
        "ft" | "foot" => Some((Per::Foot, 1.0)),
        "m" | "metre" | "meter" => Some((Per::Foot, 0.3048)),
        "quart" | "qt" => Some((Per::Quart, 1.0)),
        "pint" | "pt" => Some((Per::Quart, 2.0)),
        "gallon" | "gal" => Some((Per::Quart, 0.25)),
        _ => None,
    }
}

fn saw(text: &str) -> Result<f64, String> {
    let kerf = Length::parse(text)
        .map_err(|error| error.to_string())?
        .inches();
    if (0.0..=0.5).contains(&kerf) {
        Ok(kerf)
    } else {
        Err(format!("a saw cut of {text} is none; 0 to 1/2 in"))
    }
}

/// `1 in 10`, `10%`, `none`.
fn spare(text: &str) -> Result<f64, String> {
    let plain = text.trim();
    let part = if plain == "none" {
        Some(0.0)
    } else if let Some(percent) = plain.strip_suffix('%') {
        percent.trim().parse::<f64>().ok().map(|p| p / 100.0)
    } else {
        let share = plain.split_once(" in ");
        share.and_then(|(some, all)| {
            let (some, all) = (
                some.trim().parse::<f64>().ok()?,
                all.trim().parse::<f64>().ok()?,
            );
            Some(some / all)
        })
    };
    part.filter(|part| (0.0..=1.0).contains(part))
        .ok_or_else(|| {
            format!("{text:?} is no share of spare parts; write \"1 in 10\", \"10%\" or \"none\"")
        })
}

fn pounds(text: &str) -> Option<f64> {
    let plain = text.trim();
    let number = |unit: &str| plain.strip_suffix(unit)?.trim().parse::<f64>().ok();
    let pounds = number("lb").or_else(|| number("kg").map(|kg| kg / 0.453_592_37))?;
    (pounds.is_finite() && pounds < 1000.0).then_some(pounds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(text: &str) -> Vec<String> {
        parse_shop(text).1.iter().map(ToString::to_string).collect()
    }

    #[test]
    fn every_way_a_price_is_written() {
        let text = "(prices: {\n\"3 in 45\": \"$4.25 each\",\n\"3 in pipe\": \"2.10/ft\",\n\"2 in pipe, 10'\": \"$14 a stick\",\n\
                    \"quart of cement\": \"9 per pint\",\n\"3 in wrap\": \"0.80 per ft\"})";
        let (shop, problems) = parse_shop(text);
        assert_eq!(problems, []);
        assert_eq!(shop.currency, "$");
        assert_eq!(shop.prices["3 in eighth bend"], Price::each(4.25));
        assert_eq!(shop.prices["3 in pipe"].per, Per::Foot);
        assert_eq!(shop.stick_price(Size::In3, 240.0), Some(42.0));
        assert_eq!(shop.stick_price(Size::In2, 120.0), Some(14.0));
        // Two pints make a quart.
        assert_eq!(shop.prices["quart of cement"].amount, 18.0);
    }

    #[test]
    fn a_price_for_what_nobody_makes_is_refused() {
        let told = says(
            "(prices: {\n  \"6x1-1/2 wye\": \"9.50 each\",\n  \"3 in wye\": \"9.50 each\",\n})",
        );
        let [one] = &told[..] else { panic!("{told:?}") };
        let begins = "line 2: 6x1-1/2 wye: no 6x6x1-1/2 wye in the catalogue; it has the wye in 1-1/2, 2x2x1-1/2, ";
        assert!(one.starts_with(begins), "{one}");
    }

    #[test]
    fn a_price_without_a_unit_is_refused() {
        let told = says(
            "(prices: {\n  \"3 in wye\": 9.5,\n  \"3 in pipe\": \"2.10\",\n  \"cement\": \"16 each\",\n  \"3 in elbo\": \"1 each\",\n})",
        );
        assert_eq!(told.len(), 4, "{told:?}");
        assert!(
            told[0].starts_with("line 2: 3 in wye: 9.5 has no unit"),
            "{}",
            told[0]
        );
        assert!(
            told[1].contains("has no unit; write \"2.10 per ft\""),
            "{}",
            told[1]
        );
        assert!(told[2].contains("counted by the quart"), "{}", told[2]);
        assert!(told[3].contains("is no fitting"), "{}", told[3]);
    }

    #[test]
    fn currencies_do_not_mix_and_names_stand_once() {
        let told = says(
            "(prices: {\"3 in wye\": \"$9 each\", \"3 in cap\": \"9 EUR each\",\n\"3x3x3 wye\": \"$8 each\"})",
        );
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].contains("in EUR beside others in $"), "{}", told[0]);
        assert!(
            told[1].contains("has a price on line 1 already"),
            "{}",
            told[1]
        );
    }

    #[test]
    fn crew_and_saw() {
        let (shop, problems) = parse_shop(
            "(saw: \"3/32 in\", spare: \"none\", carry: (length: \"8'\", weight: \"10 kg\"), sticks: {\"3 in\": [\"20'\", \"10'\"]})",
        );
        assert_eq!(problems, []);
        assert_eq!(
            (shop.kerf, shop.spare, shop.carry_length),
            (0.09375, 0.0, 96.0)
        );
        assert!((shop.carry_weight - 22.046).abs() < 0.001);
        assert_eq!(shop.sticks[&Size::In3], [120.0, 240.0]);
        let told = says(
            "(\nsaw: \"2 in\",\nspare: \"some\",\ncarry: (weight: \"heavy\"),\nsticks: {\"5 in\": [\"10'\"]})",
        );
        assert_eq!(told.len(), 4, "{told:?}");
        assert!(says("(prises: {})")[0].contains("nothing of this file was used"));
    }

    #[test]
    fn what_cannot_be_read_is_told_with_what_would_be_right() {
        let right = r#"write it like (currency: "$", prices: { "3 in wye": "9.50 each" })"#;
        // The example is right itself.
        assert_eq!(parse_shop(FORM.example).1, []);
        let cases = [
            ("\n[]", 2, "a shop sheet stands in round brackets"),
            (
                "(\nprises: {})",
                2,
                "\"prises\" is no name here; the names are currency, prices, sticks, saw, spare, carry",
            ),
            ("(\nprices: [])", 2, "stands in braces"),
            ("(prices: {\n\"3 in wye\" \"9 each\"})", 2, "no colon"),
            (
                "(carry: (long: \"3'\"))",
                1,
                "\"long\" is no name here; the names are length, weight",
            ),
            ("(saw: \"1/8 in\"", 1, "a bracket that is not closed"),
        ];
        for (text, line, wrong) in cases {
            let told = says(text);
            assert_eq!(told.len(), 1, "{text}: {told:?}");
            assert!(
                told[0].starts_with(&format!("line {line}: ")),
                "{text}: {told:?}"
            );
            assert!(
                told[0].contains(wrong) && told[0].contains(right),
                "{told:?}"
            );
            assert!(
                !told[0].contains("Written") && !told[0].contains("Carry"),
                "{told:?}"
            );
        }
    }

    #[test]
    fn no_text_panics() {
        let good = "(currency: \"€\", prices: {\"3 in wye\": \"€9.50 each\"}, spare: \"10%\")";
        for (end, _) in good.char_indices() {
            parse_shop(&good[..end]);
            parse_shop(&good[end..]);
        }
    }
}
