//! What the crib holds under a word that people use, and for which act; how it is used is not known here.

use crate::base::name::Name;
use crate::language::action::Act;
use crate::language::verb::Verbs;
use crate::model::binder::Binder;
use crate::model::crib::{Crib, Item};
use std::sync::LazyLock;

/// Returns the item that a word of an action stands for: by its number, else by a name that no other item has.
#[must_use]
pub fn crib_item<'b>(crib: &'b Crib, word: &str) -> Option<&'b Item> {
    crib.find_text(word).or_else(|| match crib_called(crib, word).as_slice() {
        [only] => Some(*only),
        _ => None,
    })
}

/// Returns the items that people call so: by their plain name, what stands of it before a comma, or a declared synonym.
#[must_use]
pub fn crib_called<'b>(crib: &'b Crib, word: &str) -> Vec<&'b Item> {
    let name = Name::new(word);
    crib.items.iter().filter(|item| item.called.contains(&name)).collect()
}

/// Returns everything an item is called besides its number.
pub fn names_of(item: &Item) -> impl Iterator<Item = &str> {
    let short = item.name.split(',').next().unwrap_or_default().trim();
    [item.name.as_str(), short].into_iter().chain(item.also.iter().map(|also| also.value.as_str()))
}

/// Returns the act that a verb of the crib stands for: the word of an act, a verb of the plant, or one of the trade.
#[must_use]
pub fn act_of(binder: &Binder, verb: &str) -> Option<Act> {
    static TRADE: LazyLock<Verbs> = LazyLock::new(Verbs::new);
    let verb = Name::new(verb);
    let of_plant = || {
        let own = binder.verbs.iter().find(|own| own.verb.value == verb)?;
        Act::from_word(own.means.value.trim())
    };
    let of_trade = || TRADE.named(verb.folded()).and_then(|own| own.sense.act());
    Act::from_word(verb.folded()).or_else(of_plant).or_else(of_trade)
}
