//! A figure that is no picture, or does more than show.
//!
//! ## What is found
//! A figure's bytes are not what its ending says, it is empty or a pointer to a file kept elsewhere; or an SVG
//! holds a script, foreign content, a style sheet, an animation, or a reference to something outside itself. Or it
//! would grow without bound when it is drawn: elements used again and again, patterns within patterns, more than 20 000
//! elements or 40 million picture points.
//!
//! ## On the floor
//! An empty box on the card, or a drawing that does something on the tablet.
//!
//! ## How to mend it
//! Save the drawing again as plain SVG, PNG or JPEG.

use crate::base::finding::{Finding, Severity};
use crate::base::rule::BAD_FIGURE;
use crate::model::binder::Binder;
use crate::rules::{Found, Rule};
use roxmltree::{Document, Node};
use std::collections::BTreeMap;

/// How many elements a drawing may have once everything it uses again is drawn.
const ELEMENTS: u64 = 20_000;
/// How deep elements may stand in one another, what they use included.
const DEPTH: usize = 64;
/// How many points a picture may have.
const POINTS: u64 = 40_000_000;

/// Elements of an SVG that do more than show.
const ACTIVE: [&str; 9] =
    ["script", "foreignObject", "style", "animate", "animateMotion", "animateTransform", "set", "iframe", "a"];

/// This rule.
pub(super) const RULE: Rule = Rule {
    id: BAD_FIGURE,
    severity: Severity::Error,
    found: Found::Check(check),
    source: include_str!("bad_figure.rs"),
};

fn check(binder: &Binder) -> Vec<Finding> {
    let mut findings = Vec::new();
    for procedure in &binder.procedures {
        for figure in procedure.figures() {
            let Some(path) = binder.figure_path(procedure, &figure.path.value) else { continue };
            let Some(bytes) = binder.figures.get(&path) else { continue };
            if let Some(why) = fault(&path.extension(), bytes) {
                findings.push(
                    Finding::error(BAD_FIGURE, format!("`{path}` cannot be printed: {why}"))
                        .at(figure.path.span)
                        .document(&procedure.document.value)
                        .floor("the card would show an empty box")
                        .help("save the drawing again as plain SVG, PNG or JPEG"),
                );
            }
        }
    }
    findings
}

fn fault(extension: &str, bytes: &[u8]) -> Option<String> {
    if bytes.is_empty() {
        return Some("it is empty".to_owned());
    }
    if bytes.starts_with(b"version https://git-lfs") {
        return Some("it is only a pointer to a file kept elsewhere".to_owned());
    }
    match extension {
        "svg" => svg_fault(bytes),
        "png" if !bytes.starts_with(b"\x89PNG\r\n\x1a\n") || !bytes.ends_with(b"IEND\xaeB`\x82") => {
            Some("it is no whole PNG".to_owned())
        }
        "jpg" | "jpeg" if !bytes.starts_with(b"\xff\xd8\xff") => Some("it is no JPEG".to_owned()),
        "png" | "jpg" | "jpeg" => points_fault(points(bytes)),
        other => Some(format!("`.{other}` is no kind of picture this program prints")),
    }
}

fn points_fault(points: Option<u64>) -> Option<String> {
    match points {
        Some(points) if points <= POINTS => None,
        Some(points) => Some(format!("it has {points} points, more than the limit of {POINTS}")),
        None => Some("it does not say how large it is".to_owned()),
    }
}

/// Returns how many points a PNG or JPEG says it has, from its head.
fn points(bytes: &[u8]) -> Option<u64> {
    if bytes.starts_with(b"\x89PNG") {
        // PNG specification (W3C), 11.2.2: the first chunk is IHDR, width and height are its first eight bytes.
        let number = |at: usize| Some(u64::from(u32::from_be_bytes(bytes.get(at..at + 4)?.try_into().ok()?)));
        return number(16)?.checked_mul(number(20)?);
    }
    // ITU-T T.81, B.2.2: height and width stand in the frame header, SOF0 to SOF15 without DHT, JPG and DAC.
    let mut at = 2;
    while bytes.get(at) == Some(&0xff) {
        let marker = *bytes.get(at + 1)?;
        let pair = |at: usize| Some(u64::from(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?)));
        if matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc) {
            return Some(pair(at + 5)? * pair(at + 7)?);
        }
        at += if marker == 0xff { 1 } else { 2 + usize::try_from(pair(at + 2)?).ok()? };
    }
    None
}

/// Returns the points of a picture that stands inside a drawing as `data:`.
fn embedded_points(data: &str) -> Option<u64> {
    let coded =
        ["png", "jpeg", "jpg"].iter().find_map(|kind| data.strip_prefix(&format!("data:image/{kind};base64,")))?;
    let coded: String = coded.chars().filter(|c| !c.is_ascii_whitespace()).collect();
    let bytes = data_encoding::BASE64.decode(coded.as_bytes()).ok()?;
    (bytes.starts_with(b"\x89PNG\r\n\x1a\n") || bytes.starts_with(b"\xff\xd8\xff")).then(|| points(&bytes))?
}

/// How much an element draws.
#[derive(Clone, Copy)]
struct Extent {
    /// How many elements, itself included.
    elements: u64,
    /// How deep they stand in it or are used by it.
    depth: usize,
}

/// What a drawing grows to when everything that it uses again is drawn.
struct Growth<'d, 'input> {
    named: BTreeMap<&'d str, Node<'d, 'input>>,
    known: BTreeMap<usize, Extent>,
}

impl<'d, 'input: 'd> Growth<'d, 'input> {
    /// Returns why a drawing grows too far, if it does.
    fn fault(tree: &'d Document<'input>) -> Option<String> {
        let named = tree.descendants().filter_map(|node| Some((node.attribute("id")?, node))).collect();
        match (Self { named, known: BTreeMap::new() }).extent(tree.root_element(), 0) {
            Err(why) => Some(why),
            Ok(Extent { elements, .. }) if elements > ELEMENTS => {
                Some(format!("drawn out it has {elements} elements, more than the limit of {ELEMENTS}"))
            }
            Ok(_) => None,
        }
    }

    /// Returns how much `node` draws; one that uses itself never comes to an end and meets the depth.
    fn extent(&mut self, node: Node<'d, 'input>, depth: usize) -> Result<Extent, String> {
        let known = self.known.get(&node.id().get_usize()).copied();
        if depth + known.map_or(0, |known| known.depth) > DEPTH {
            return Err(format!("its elements stand in or use one another more than {DEPTH} deep"));
        }
        if let Some(known) = known {
            return Ok(known);
        }
        let mut extent = Extent { elements: 1, depth: 0 };
        let used: Vec<Node<'d, 'input>> = used(node).filter_map(|id| self.named.get(id).copied()).collect();
        for inner in node.children().filter(Node::is_element).chain(used) {
            let inner = self.extent(inner, depth + 1)?;
            extent.elements = extent.elements.saturating_add(inner.elements);
            extent.depth = extent.depth.max(inner.depth + 1);
        }
        self.known.insert(node.id().get_usize(), extent);
        Ok(extent)
    }
}

/// Returns the identifiers an element refers to: `#id` and `url(#id)`.
fn used<'d>(node: Node<'d, '_>) -> impl Iterator<Item = &'d str> {
    node.attributes().flat_map(|attribute| {
        let value = attribute.value();
        let whole = (attribute.name() == "href").then(|| value.trim().strip_prefix('#')).flatten();
        let inner = value.split('#').skip(1).filter_map(|rest| rest.split_once(')'));
        whole.into_iter().chain(inner.map(|(id, _)| id.trim_matches(['"', '\'', ' '])))
    })
}

/// Returns why a drawing would not come to an end, or take far too long, when it is drawn.
fn growth_fault(tree: &Document<'_>) -> Option<String> {
    if let Some(why) = Growth::fault(tree) {
        return Some(why);
    }
    let patterns = || tree.descendants().filter(|node| node.tag_name().name() == "pattern");
    let names: Vec<&str> = patterns().filter_map(|pattern| pattern.attribute("id")).collect();
    let nested = patterns()
        .flat_map(|pattern| pattern.descendants().skip(1))
        .any(|inner| inner.tag_name().name() == "pattern" || used(inner).any(|id| names.contains(&id)));
    if nested {
        return Some("a pattern is filled with a pattern".to_owned());
    }
    let pictures = tree.descendants().filter(|node| matches!(node.tag_name().name(), "image" | "feImage"));
    let mut points = 0_u64;
    for picture in pictures {
        let data = picture.attributes().find(|attribute| attribute.name() == "href").map(|href| href.value().trim());
        let Some(data) = data.filter(|data| data.starts_with("data:")) else { continue };
        let Some(own) = embedded_points(data) else {
            return Some("a picture inside it is no whole PNG or JPEG in base64".to_owned());
        };
        points = points.saturating_add(own);
    }
    points_fault(Some(points))
}

fn svg_fault(bytes: &[u8]) -> Option<String> {
    let Ok(text) = std::str::from_utf8(bytes) else { return Some("it is not UTF-8".to_owned()) };
    // A document type could define entities that grow without bound; the parser refuses it.
    if too_many_tags(text) {
        return Some(format!("it has more than {ELEMENTS} elements"));
    }
    let tree = match Document::parse(text) {
        Ok(tree) => tree,
        Err(error) => return Some(format!("its SVG cannot be read ({error})")),
    };
    if tree.root_element().tag_name().name() != "svg" {
        return Some("it is no SVG".to_owned());
    }
    acting_fault(&tree).or_else(|| growth_fault(&tree))
}

/// Returns whether a text opens more elements than any drawing has; this stands before the parser, which follows them.
fn too_many_tags(text: &str) -> bool {
    let opened = text.as_bytes().windows(2).filter(|pair| pair[0] == b'<' && pair[1].is_ascii_alphabetic());
    opened.count() as u64 > ELEMENTS
}

fn acting_fault(tree: &Document<'_>) -> Option<String> {
    tree.descendants().filter(Node::is_element).find_map(|element| {
        let name = element.tag_name().name();
        if ACTIVE.contains(&name) {
            return Some(format!("it holds `<{name}>`"));
        }
        element.attributes().find_map(|attribute| {
            let (key, value) = (attribute.name(), attribute.value().trim());
            let handler = key.to_ascii_lowercase().starts_with("on");
            let outside = key == "href" && !value.starts_with('#') && !value.starts_with("data:image/");
            let outside_url = value.contains("url(") && !value.replace(' ', "").contains("url(#");
            (handler || outside || outside_url)
                .then(|| format!("its `{key}` reaches outside the drawing or acts by itself"))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::fault;

    #[test]
    fn a_picture_shows_and_does_nothing_else() {
        let svg =
            |inner: &str| fault("svg", format!("<svg xmlns='http://www.w3.org/2000/svg'>{inner}</svg>").as_bytes());
        assert_eq!(svg("<path d='M0 0' fill='url(#x)'/>"), None);
        for (inner, word) in [
            ("<script>x</script>", "script"),
            ("<foreignObject/>", "foreignObject"),
            ("<rect onclick='x'/>", "onclick"),
            ("<image href='https://x.example/y.png'/>", "href"),
            ("<rect fill='url(https://x.example)'/>", "fill"),
            ("<animate/>", "animate"),
        ] {
            let fault = svg(inner).expect(inner);
            assert!(fault.contains(word), "{inner}: {fault}");
        }
        let doubling: String = (0..23)
            .map(|at| format!("<g id='g{}'><use href='#g{at}'/><use href='#g{at}'/></g>", at + 1))
            .collect::<Vec<_>>()
            .concat();
        let link = |at: usize| format!("<g id='g{}'><use href='#g{at}'/></g>", at + 1);
        let chain = format!("<g id='g0'/>{}", (0..200).map(link).collect::<Vec<_>>().concat());
        let pattern = "<pattern id='p'><rect fill='url(#q)'/></pattern><pattern id='q'/>";
        for (inner, word) in [
            (format!("<g id='g0'/>{doubling}"), "drawn out it has"),
            ("<g id='a'><use href='#a'/></g>".to_owned(), "deep"),
            (chain, "deep"),
            (format!("{}{}", "<g>".repeat(15_000), "</g>".repeat(15_000)), "deep"),
            ("<g/>".repeat(20_001), "more than 20000 elements"),
            (pattern.to_owned(), "pattern"),
            ("<image href='data:image/svg+xml;base64,AAAA'/>".to_owned(), "no whole PNG"),
        ] {
            let fault = svg(&inner).expect(word);
            assert!(fault.contains(word), "{word}: {fault}");
        }
        assert_eq!(svg("<g id='a'/><use href='#a'/><pattern id='p'><path/></pattern><rect fill='url(#p)'/>"), None);
        let bomb = "<!DOCTYPE svg [<!ENTITY a 'xx'><!ENTITY b '&a;&a;'>]><svg>&b;</svg>";
        assert!(fault("svg", bomb.as_bytes()).is_some());
        assert!(fault("png", b"\x89PNG\r\n\x1a\n cut off").is_some());
        let png = |side: u32| {
            let head = [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR".as_slice(), &side.to_be_bytes(), &side.to_be_bytes()].concat();
            fault("png", &[head.as_slice(), b"IEND\xaeB`\x82"].concat())
        };
        assert_eq!(png(1_000), None);
        assert_eq!(png(10_000).as_deref(), Some("it has 100000000 points, more than the limit of 40000000"));
        let jpeg = |side: u16| {
            let frame =
                [b"\xff\xd8\xff\xe0\0\x04xx\xff\xc2\0\x11\x08".as_slice(), &side.to_be_bytes(), &side.to_be_bytes()];
            fault("jpg", &frame.concat())
        };
        assert_eq!(jpeg(1_000), None);
        assert!(jpeg(10_000).is_some_and(|fault| fault.contains("points")));
        assert!(fault("png", b"").is_some());
        assert!(fault("svg", b"version https://git-lfs.github.com/spec/v1").is_some());
        assert!(fault("bmp", b"BM").is_some());
    }
}
