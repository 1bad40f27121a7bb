//! Markup by type: words are escaped on their way in, so that no name becomes an element.

use crate::write::escaped;
use crate::write::is_simple;
use std::fmt::Display;
use std::fmt::Write;

/// Elements without content, and those of drawings that need no end tag when empty.
const BARE: [&str; 9] = ["meta", "link", "input", "br", "path", "use", "circle", "rect", "line"];

/// A piece of the page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Html(String);

impl Html {
    /// The program's own text: its style, its script.
    pub(super) fn own(text: &'static str) -> Self {
        Self(text.to_owned())
    }

    /// A style sheet that was made here: nothing in it ends it.
    pub(super) fn style(text: &str) -> Self {
        Self(text.replace('<', "\\3c "))
    }

    /// Text of a sentence: between backticks it is set as code.
    pub(super) fn worded(text: &str) -> Self {
        let pieces = text.split('`').enumerate();
        let piece = |(i, piece): (usize, &str)| match i % 2 {
            0 => Self::from(piece),
            _ => el("code").with(piece).into(),
        };
        pieces.map(piece).collect()
    }

    /// Lines of a text, unchanged.
    pub(super) fn lines(text: &str) -> Self {
        let lines: Vec<String> = text.lines().map(escaped).collect();
        Self(lines.join("\n"))
    }

    /// Whether there is nothing.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The markup.
    pub(super) fn text(self) -> String {
        self.0
    }

    /// This with more behind it.
    #[must_use]
    pub(super) fn and(mut self, more: impl Into<Self>) -> Self {
        self.add(more.into());
        self
    }

    /// Adds more behind it; to nothing it is moved, not copied: pages are long.
    fn add(&mut self, more: Self) {
        if self.0.is_empty() {
            *self = more;
        } else {
            self.0.push_str(&more.0);
        }
    }
}

impl From<&Self> for Html {
    fn from(html: &Self) -> Self {
        html.clone()
    }
}

impl From<&str> for Html {
    fn from(words: &str) -> Self {
        Self(escaped(words))
    }
}

impl From<String> for Html {
    fn from(words: String) -> Self {
        Self(escaped(&words))
    }
}

impl From<El> for Html {
    fn from(element: El) -> Self {
        element.closed()
    }
}

impl<T: Into<Self>> From<Option<T>> for Html {
    fn from(some: Option<T>) -> Self {
        some.map_or_else(Self::default, Into::into)
    }
}

impl<T: Into<Html>> FromIterator<T> for Html {
    fn from_iter<I: IntoIterator<Item = T>>(pieces: I) -> Self {
        pieces.into_iter().fold(Self::default(), Self::and)
    }
}

/// An element being written.
#[derive(Clone, Debug)]
pub(super) struct El {
    name: &'static str,
    attributes: String,
    inside: Html,
}

/// An element of a kind.
pub(super) fn el(name: &'static str) -> El {
    El { name, attributes: String::new(), inside: Html::default() }
}

impl El {
    /// With an attribute.
    pub(super) fn at(mut self, key: &'static str, value: impl Display) -> Self {
        let all = &mut self.attributes;
        // Writing to a string cannot fail.
        let _ = write!(all, " {key}=\"");
        let from = all.len();
        let _ = write!(all, "{value}");
        if !is_simple(&all[from..]) {
            let escaped = escaped(&all[from..]);
            all.replace_range(from.., &escaped);
        }
        all.push('"');
        self
    }

    /// With an attribute that is there or not.
    pub(super) fn flag(mut self, key: &'static str) -> Self {
        self.attributes.push(' ');
        self.attributes.push_str(key);
        self
    }

    /// With something more in it.
    pub(super) fn with(mut self, child: impl Into<Html>) -> Self {
        self.inside.add(child.into());
        self
    }

    fn closed(self) -> Html {
        let Self { name, attributes, inside } = self;
        if inside.is_empty() && BARE.contains(&name) {
            return Html(format!("<{name}{attributes}/>"));
        }
        // The tags round what is there already, which may be most of the page.
        let mut text = inside.0;
        text.reserve(attributes.len() + 2 * name.len() + "<></>".len());
        text.insert_str(0, &format!("<{name}{attributes}>"));
        text.extend(["</", name, ">"]);
        Html(text)
    }
}

/// An element of a class with something in it.
pub(super) fn of_class(name: &'static str, class: &str, child: impl Into<Html>) -> El {
    el(name).at("class", class).with(child)
}

/// A link within the page or to a file.
pub(super) fn link(to: impl Display, words: &str) -> El {
    el("a").at("href", to).with(words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_attributes_cannot_become_markup() {
        let hostile = "\"><script>x</script>&'";
        let made = el("p").at("title", hostile).with(hostile).closed().text();
        let wanted = "<p title=\"&quot;&gt;&lt;script&gt;x&lt;/script&gt;&amp;'\">\
                      &quot;&gt;&lt;script&gt;x&lt;/script&gt;&amp;'</p>";
        assert_eq!(made, wanted);
        assert_eq!(Html::from(el("use").at("x", 1.5)).text(), "<use x=\"1.5\"/>");
        assert_eq!(Html::from(el("p")).text(), "<p></p>");
    }

    #[test]
    fn text_in_backticks_is_code_and_nothing_is_markup() {
        let made = Html::worded("hole `a<b` & bolt").text();
        assert_eq!(made, "hole <code>a&lt;b</code> &amp; bolt");
    }
}
