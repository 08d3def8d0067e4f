//! What the crib holds under a word that people use; how it is used is not known here.

use crate::base::name::Name;
use crate::model::crib::{Crib, Item};

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
    let is_called = |item: &&Item| names_of(item).any(|own| Name::new(own) == name);
    crib.items.iter().filter(is_called).collect()
}

/// Returns everything an item is called besides its number.
pub fn names_of(item: &Item) -> impl Iterator<Item = &str> {
    let short = item.name.split(',').next().unwrap_or_default().trim();
    [item.name.as_str(), short].into_iter().chain(item.also.iter().map(|also| also.value.as_str()))
}
