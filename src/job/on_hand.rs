//! The stock of a sheet for which the job names none: that of the stock book.

use crate::book::Book;
use crate::book::Entry;
use crate::diag::Finding;
use crate::document::Fields;
use crate::job::stock::Stock;
use crate::shop::Shop;
use std::cell::OnceCell;

/// What to add where nothing says on which sheets a part is nested.
pub(super) const NAME_STOCK: &str = "stock = [ { size = [\"2500 mm\", \"1250 mm\"] } ]";

/// The book of a shop, by the name of the shop file in the job: `None` if there is no book; the
/// reason if it cannot be read.
pub type BookOf<'a> = &'a dyn Fn(Option<&str>) -> Result<Option<Book>, String>;

/// The book of the shop, asked once and only when it is needed.
pub(super) struct OnHand<'a> {
    ask: BookOf<'a>,
    /// The shop file as the job names it.
    shop: Option<String>,
    /// In which the job counts.
    currency: String,
    read: OnceCell<Result<Option<Book>, String>>,
}

/// The record that a sheet is nested on the stock of a book.
#[derive(Clone, Debug, PartialEq)]
pub struct FromBook {
    /// How findings call the book.
    pub shown: String,
    /// The size of one of its whole sheets, mm, of this metal and thickness or any other.
    pub offered: Option<[f64; 2]>,
}

impl<'a> OnHand<'a> {
    /// The book of the shop that a job names.
    pub(super) fn new(ask: BookOf<'a>, fields: &Fields, shop: Option<&Shop>) -> Self {
        let rates = shop.and_then(|shop| shop.rates.as_ref());
        Self {
            ask,
            shop: fields.get("shop").and_then(|item| item.text()).map(str::to_owned),
            currency: rates.map_or_else(String::new, |rates| rates.currency.clone()),
            read: OnceCell::new(),
        }
    }

    fn book(&self) -> &Result<Option<Book>, String> {
        self.read.get_or_init(|| (self.ask)(self.shop.as_deref()))
    }

    /// The size of a whole sheet to offer where a message shows one, mm.
    pub(super) fn offered(&self) -> Option<[f64; 2]> {
        self.offered_of(None)
    }

    /// The same of a metal and a thickness, mm, where they are known.
    pub(super) fn offered_of(&self, kind: Option<(&str, f64)>) -> Option<[f64; 2]> {
        let (material, thickness) = kind.unwrap_or_default();
        self.book().as_ref().ok()?.as_ref()?.offered(material, thickness)
    }

    /// The stock of a sheet that names none; a finding if there is no book.
    pub(super) fn stock(
        &self,
        fields: &Fields,
        kind: Option<(&str, f64)>,
    ) -> Option<(Vec<Stock>, FromBook)> {
        let book = match self.book() {
            Ok(Some(book)) => book,
            Ok(None) => {
                let help = format!(
                    "add `{NAME_STOCK}`, or enter the shop's sheets in its book with `platewright stock add`"
                );
                fields.need_or("stock", &help);
                return None;
            }
            Err(why) => {
                let headline = format!("this sheet names no `stock`, and {why}");
                let help = format!("correct the book, or add `{NAME_STOCK}`");
                fields.add(Finding::stop("book", headline).at(fields.here, "").help(help));
                return None;
            }
        };
        let (material, thickness) = kind?;
        let stock = book.of(material, thickness).map(|entry| self.one(entry)).collect();
        let offered = book.offered(material, thickness);
        Some((stock, FromBook { shown: book.shown.clone(), offered }))
    }

    fn one(&self, entry: &Entry) -> Stock {
        // A price in another currency is none here.
        let other = !entry.currency.is_empty() && entry.currency != self.currency;
        Stock::of_book(entry, entry.price.filter(|_| !other || self.currency.is_empty()))
    }
}
