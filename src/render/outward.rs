//! Whether a finished page asks anybody for anything or runs what the program did not write; it knows no packet.

use html5gum::{DefaultEmitter, Token, Tokenizer};
use std::collections::BTreeMap;

/// Attributes whose value a browser goes to.
const ADDRESSES: [&str; 10] =
    ["src", "srcset", "href", "xlink:href", "action", "formaction", "poster", "data", "background", "ping"];
/// Elements that load or lead somewhere by being there.
const LOADERS: [&str; 7] = ["base", "embed", "frame", "iframe", "link", "object", "portal"];

/// Returns what of a page leads outside, in words; empty for a page that keeps to itself.
///
/// `policy` must stand on it exactly once, before anything that it governs; `links` are the relative addresses it may have.
pub(crate) fn outward(html: &str, policy: &str, links: &[&str]) -> Vec<String> {
    // Inside a drawing a style is no raw text, elsewhere it is: a tag must be harmless in both readings.
    let found = read(html, policy, links, true);
    if found.is_empty() { read(html, policy, links, false) } else { found }
}

fn read(html: &str, policy: &str, links: &[&str], raw: bool) -> Vec<String> {
    let mut found = Vec::new();
    let mut policies = 0;
    let mut emitter = DefaultEmitter::default();
    emitter.naively_switch_states(raw);
    for token in Tokenizer::new_with_emitter(html, emitter) {
        let Ok(Token::StartTag(tag)) = token else { continue };
        let name = String::from_utf8_lossy(&tag.name).into_owned();
        let attributes: BTreeMap<String, String> = tag
            .attributes
            .iter()
            .map(|(key, value)| {
                (String::from_utf8_lossy(key).to_lowercase(), String::from_utf8_lossy(value).trim().to_owned())
            })
            .collect();
        if name == "meta" {
            match attributes.get("http-equiv").map(|kind| kind.to_lowercase()) {
                Some(kind) if kind == "content-security-policy" => {
                    policies += 1;
                    if attributes.get("content").is_none_or(|content| content != policy) {
                        found.push("a Content-Security-Policy that is not `{{ policy }}`".to_owned());
                    }
                }
                Some(kind) => found.push(format!("`<meta http-equiv=\"{kind}\">`")),
                None => {}
            }
        } else if policies == 0 && matches!(name.as_str(), "script" | "style" | "img" | "body") {
            found.push(format!("`<{name}>` before the Content-Security-Policy"));
            policies = 1;
        }
        if LOADERS.contains(&name.as_str()) {
            found.push(format!("`<{name}>`"));
        }
        for (key, value) in &attributes {
            if key.starts_with("on") || value.to_lowercase().contains("url(") {
                found.push(format!("`{key}` of `<{name}>`"));
            } else if ADDRESSES.contains(&key.as_str()) && !keeps_to_itself(&name, value, links) {
                found.push(format!("`{key}=\"{value}\"` of `<{name}>`"));
            }
        }
    }
    if policies != 1 {
        found.push(format!("{policies} Content-Security-Policies where one must stand"));
    }
    found
}

/// Returns whether an address stays in the page, or is a link that a person has to follow.
fn keeps_to_itself(element: &str, address: &str, links: &[&str]) -> bool {
    let is_link = element == "a" || element == "area";
    let leads_on = |scheme: &&str| address.to_lowercase().starts_with(scheme);
    address.starts_with('#')
        || (!is_link && address.starts_with("data:"))
        || (is_link && (["https:", "mailto:"].iter().any(leads_on) || links.contains(&address)))
}

#[cfg(test)]
mod tests {
    use super::outward;

    const POLICY: &str = "default-src 'none'";
    const HEAD: &str = "<head><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'\"></head>";

    #[test]
    fn a_page_that_keeps_to_itself_passes() {
        let page = format!(
            "{HEAD}<img src=\"data:image/png;base64,AA\"><a href=\"#step-1\">1</a><a href=\"https://x.example/\">x</a>\
             <a href=\"packets/a.html\">a</a>"
        );
        assert!(outward(&page, POLICY, &["packets/a.html"]).is_empty());
        assert_eq!(outward(&page, POLICY, &[]), ["`href=\"packets/a.html\"` of `<a>`"]);
    }

    #[test]
    fn whatever_leads_out_is_named() {
        for part in [
            "<script src=\"https://x.example/x.js\"></script>",
            "<img src=\"logo.png\">",
            "<img srcset=\"https://x.example/x.png 2x\">",
            "<form action=\"https://x.example/\">",
            "<p style=\"background: URL(//x.example/x)\">",
            "<link rel=\"stylesheet\" href=\"x.css\">",
            "<p onclick=\"x()\">",
            "<a href=\"javascript:x()\">x</a>",
            "<a href=\"data:text/html,x\">x</a>",
            "<iframe srcdoc=\"x\"></iframe>",
            "<meta http-equiv=\"refresh\" content=\"0; url=https://x.example/\">",
            HEAD,
        ] {
            assert!(!outward(&format!("{HEAD}<body>{part}"), POLICY, &[]).is_empty(), "{part}");
        }
        assert!(!outward("<body><p>no policy", POLICY, &[]).is_empty());
        assert!(!outward(&format!("<script>x()</script>{HEAD}"), POLICY, &[]).is_empty());
        assert!(!outward(HEAD, "default-src 'self'", &[]).is_empty());
    }
}
