//! A figure that is no picture, or does more than show.
//!
//! ## What is found
//! A figure's bytes are not what its ending says, it is empty or a pointer to a file kept elsewhere; or an SVG
//! holds a script, foreign content, a style sheet, an animation, or a reference to something outside itself.
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
        "png" => (!bytes.starts_with(b"\x89PNG\r\n\x1a\n") || !bytes.ends_with(b"IEND\xaeB`\x82"))
            .then(|| "it is no whole PNG".to_owned()),
        "jpg" | "jpeg" => (!bytes.starts_with(b"\xff\xd8\xff")).then(|| "it is no JPEG".to_owned()),
        other => Some(format!("`.{other}` is no kind of picture this program prints")),
    }
}

fn svg_fault(bytes: &[u8]) -> Option<String> {
    let Ok(text) = std::str::from_utf8(bytes) else { return Some("it is not UTF-8".to_owned()) };
    // A document type could define entities that grow without bound; the parser refuses it.
    let tree = match roxmltree::Document::parse(text) {
        Ok(tree) => tree,
        Err(error) => return Some(format!("its SVG cannot be read ({error})")),
    };
    if tree.root_element().tag_name().name() != "svg" {
        return Some("it is no SVG".to_owned());
    }
    tree.descendants().filter(roxmltree::Node::is_element).find_map(|element| {
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
        let bomb = "<!DOCTYPE svg [<!ENTITY a 'xx'><!ENTITY b '&a;&a;'>]><svg>&b;</svg>";
        assert!(fault("svg", bomb.as_bytes()).is_some());
        assert!(fault("png", b"\x89PNG\r\n\x1a\n cut off").is_some());
        assert!(fault("png", b"").is_some());
        assert!(fault("svg", b"version https://git-lfs.github.com/spec/v1").is_some());
        assert!(fault("bmp", b"BM").is_some());
    }
}
