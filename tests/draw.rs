//! Drawings: that they are whole, say what they had to leave open, stay within their bounds and need
//! nothing beside themselves.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

use kurbo::{Affine, BezPath, Point, Rect, Shape as _};
use puncheon::Tables;
use puncheon::chart::{Asked, chart};
use puncheon::reading::LetterStruck;
use puncheon::schema::entry::{Case, Metal};
use puncheon::schema::image::Meta;
use puncheon_draw::{Line, Sketch, face, faces, shape, shapes, sketch, sketch_width};
use puncheon_tests::run;
use roxmltree::{Document, Node, ParsingOptions};

const PUNCHEON: &str = env!("CARGO_BIN_EXE_puncheon-under-test");

fn tables() -> &'static Tables {
    Tables::builtin()
}

/// What people draw: descriptions that end in every way, with and without letters.
const DESCRIBED: [&str; 8] = [
    "anchor, lion passant, small roman f, king's head",
    "leopard's head, lion passant, k",
    "leopard's head, lion passant, court hand b",
    "anchor, lion passant",
    "anchor, leopard's head, lion passant, b",
    "EPNS",
    "cup: anchor, lion passant, small roman f; lid: leopard's head, lion passant, small roman k",
    "",
];

fn asked() -> Vec<String> {
    let image = tables().image();
    let mut all: Vec<String> =
        (0..image.meta(Meta::Offices)).map(|i| image.office(i).id().to_string()).collect();
    all.extend(
        ["1803", "1697", "2003", "1300", "small black letter k", "london k", "york 1700..1710"]
            .map(str::to_string),
    );
    all
}

/// Every date letter of the tables as it would be drawn on either metal.
fn letters() -> Vec<(LetterStruck, bool)> {
    let image = tables().image();
    let mut out: Vec<(LetterStruck, bool)> = Vec::new();
    for i in 0..image.meta(Meta::Letters) {
        let l = image.letter(i);
        for metal in [Metal::Silver, Metal::Gold] {
            let letter = LetterStruck {
                struck: Some(l.struck().to_string()).filter(|s| !s.is_empty()),
                lettering: l.lettering().map(|n| image.lettering(n).id().to_string()),
                case: l.case(),
                outline: l.outline(metal).map(|o| image.outline_id(o).to_string()),
            };
            let doubtful = i % 3 == 0;
            if !out.iter().any(|(o, _)| *o == letter) {
                out.push((letter, doubtful));
            }
        }
    }
    out
}

fn draw_chart(words: &str) -> (String, String) {
    let asked = Asked::read(tables(), words).unwrap_or_else(|e| panic!("{words}: {e}"));
    let chart = chart(tables(), &asked);
    (puncheon_draw::chart(tables(), &chart), puncheon_draw::page(tables(), &chart))
}

/// Every drawing that is tried, each with a name.
static DRAWINGS: LazyLock<Vec<(String, String)>> = LazyLock::new(|| {
    let mut out = Vec::new();
    for words in asked() {
        let (svg, html) = draw_chart(&words);
        out.push((format!("chart {words}"), svg));
        out.push((format!("page {words}"), html));
    }
    for words in DESCRIBED {
        let reading = puncheon::read(tables(), words, &Default::default());
        for most in [1, 12, usize::MAX] {
            out.push((
                format!("candidates {words}, {most}"),
                puncheon_draw::candidates(tables(), &reading, most),
            ));
        }
    }
    let all = puncheon::outlines::outlines(tables());
    out.push(("outlines".into(), puncheon_draw::outlines(tables(), &all)));
    for (l, doubtful) in letters() {
        out.push((format!("{l:?}"), puncheon_draw::letter(tables(), &l, doubtful)));
    }
    for o in shapes() {
        let l = LetterStruck { outline: Some(o.id.to_string()), ..plain("Q", Case::Upper) };
        out.push((format!("{l:?}"), puncheon_draw::letter(tables(), &l, true)));
    }
    out
});

/// A letter in the lettering that stands for any.
fn plain(struck: &str, case: Case) -> LetterStruck {
    LetterStruck {
        struck: Some(struck.into()),
        lettering: Some(face(None).id.into()),
        case,
        outline: None,
    }
}

fn parsed(name: &str, drawing: &str) -> Vec<String> {
    with(name, drawing, |doc| {
        doc.descendants()
            .filter_map(|n| n.text())
            .map(|t| t.split_whitespace().collect::<Vec<_>>().join(" "))
            .filter(|t| !t.is_empty())
            .collect()
    })
}

fn with<T>(name: &str, drawing: &str, f: impl FnOnce(&Document) -> T) -> T {
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    match Document::parse_with_options(drawing, options) {
        Ok(doc) => f(&doc),
        Err(e) => panic!("{name}: not well-formed: {e}"),
    }
}

#[test]
fn every_drawing_is_well_formed_and_says_what_it_is() {
    for (name, drawing) in DRAWINGS.iter() {
        with(name, drawing, |doc| {
            let pictures: Vec<Node> = doc
                .descendants()
                .filter(|n| n.has_tag_name("svg") || n.tag_name().name() == "svg")
                .collect();
            assert!(
                !pictures.is_empty()
                    || drawing.contains("nothing")
                    || name.starts_with("page 1300"),
                "{name}: no picture"
            );
            for p in pictures {
                assert_eq!(p.attribute("role"), Some("img"), "{name}");
                let label = p.attribute("aria-label").unwrap_or_default();
                assert!(!label.trim().is_empty(), "{name}: a picture without a name");
                let title = p.children().find(|n| n.tag_name().name() == "title");
                assert_eq!(title.and_then(|t| t.text()), Some(label), "{name}");
            }
        });
    }
}

#[test]
fn no_drawing_reaches_beyond_itself() {
    for (name, drawing) in DRAWINGS.iter() {
        let rest = drawing.replace("xmlns=\"http://www.w3.org/2000/svg\"", "");
        for reach in ["http", "url(", "@import", "src=", "href", "<script", "<link"] {
            // A source's title may speak of such things; an attribute or a rule may not.
            let text = parsed(name, drawing).join(" ");
            assert_eq!(rest.matches(reach).count(), text.matches(reach).count(), "{name}: {reach}");
        }
        let style: String = with(name, drawing, |doc| {
            doc.descendants()
                .filter(|n| n.tag_name().name() == "style")
                .filter_map(|n| n.text())
                .collect()
        });
        for reach in ["http", "url(", "@import"] {
            assert!(!style.contains(reach), "{name}: {reach} in the style");
        }
    }
}

#[test]
fn every_letter_is_drawn_in_its_own_lettering_or_says_that_it_is_not() {
    let mut own = BTreeSet::new();
    let mut other = BTreeSet::new();
    for (l, doubtful) in letters() {
        let Some(struck) = l.struck.as_deref() else {
            continue;
        };
        let svg = puncheon_draw::letter(tables(), &l, doubtful);
        let paths = with("letter", &svg, drawn_letters);
        let its = faces().iter().find(|f| Some(f.id) == l.lettering.as_deref());
        let forms: Option<Vec<&str>> =
            its.and_then(|f| struck.chars().map(|c| f.glyph(c).map(|g| g.path)).collect());
        let shown = parsed("letter", &svg).join(" ");
        match forms {
            Some(forms) => {
                assert_eq!(paths, forms, "{l:?}");
                assert!(!shown.contains("drawn"), "{l:?}: {shown}");
                own.insert(l.lettering.clone());
            }
            None => {
                let said = shown.contains("drawn as") || shown.contains("not drawn");
                assert!(said, "{l:?} is silently drawn otherwise: {shown}");
                other.insert(l.lettering.clone());
            }
        }
    }
    // The letterforms are there at all, and some letters do need the note.
    assert!(own.len() >= 6, "{own:?}");
    assert!(other.contains(&None), "{other:?}");
    assert!(own.is_disjoint(&other), "a form is missing: {own:?} {other:?}");
}

fn drawn_letters(doc: &Document) -> Vec<String> {
    doc.descendants()
        .filter(|n| n.attribute("class") == Some("letter"))
        .filter_map(|n| n.attribute("d").map(str::to_string))
        .collect()
}

#[test]
fn every_face_has_the_whole_alphabet_and_its_measures_are_true() {
    for f in faces() {
        for c in ('A'..='Z').chain('a'..='z').chain('0'..='9').chain(['&', 'Æ']) {
            assert!(f.glyph(c).is_some(), "{}: no {c}", f.id);
        }
        for (c, g) in f.letters() {
            let b = path(g.path).bounding_box();
            let [l, t, r, btm] = g.bounds;
            let near = |a: f64, b: f64| (a - b).abs() <= 2.0;
            assert!(
                near(b.x0, l) && near(b.y0, t) && near(b.x1, r) && near(b.y1, btm),
                "{} {c}: {b:?} is not {:?}",
                f.id,
                g.bounds
            );
        }
        let (top, bottom) = f.upper;
        assert!(top < bottom && f.lower.0 < f.lower.1, "{}", f.id);
    }
}

#[test]
fn every_outline_has_a_shape_with_its_letter_inside() {
    let image = tables().image();
    for i in 0..image.meta(Meta::Outlines) {
        let id = image.outline_id(i);
        assert!(shape(id).is_some(), "{id} is not drawn");
    }
    let mut wrong = Vec::new();
    for s in shapes() {
        let [l, t, r, b] = s.room;
        let room = Rect::new(l, t, r, b);
        assert!(room.width() > 20.0 && room.height() > 20.0, "{}", s.id);
        let Line::Path(told, not_told) = s.line else {
            continue;
        };
        let mut whole = path(told);
        if let Some(rest) = not_told {
            // The part not told goes on where the told part ends, and closes the shape.
            whole.extend(path(rest).iter().skip(1));
        }
        whole.close_path();
        let ground = Rect::new(0.0, 0.0, 100.0, 120.0);
        assert!(inside(ground, whole.bounding_box()), "{} leaves its ground", s.id);
        for k in 0..=8 {
            let at = f64::from(k) / 8.0;
            for p in [
                Point::new(l + room.width() * at, t),
                Point::new(l + room.width() * at, b),
                Point::new(l, t + room.height() * at),
                Point::new(r, t + room.height() * at),
            ] {
                if !whole.contains(p) {
                    wrong.push(format!("{}: {p:?}", s.id));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "room outside the shape: {wrong:#?}");
}

fn path(d: &str) -> BezPath {
    BezPath::from_svg(d).unwrap_or_else(|e| panic!("{d}: {e}"))
}

fn inside(outer: Rect, inner: Rect) -> bool {
    inner.x0 >= outer.x0 - 0.05
        && inner.y0 >= outer.y0 - 0.05
        && inner.x1 <= outer.x1 + 0.05
        && inner.y1 <= outer.y1 + 0.05
}

/// The place that a node is moved to by itself and what it stands in, up to its picture.
fn placed(node: Node) -> Affine {
    let mut out = Affine::IDENTITY;
    for n in node.ancestors().take_while(|n| n.tag_name().name() != "svg") {
        out = n.attribute("transform").map_or(Affine::IDENTITY, transform) * out;
    }
    out
}

/// "translate(x y) scale(s)" or "translate(x y) scale(x y)", and nothing else.
fn transform(t: &str) -> Affine {
    let (to, by) = t.split_once(") scale(").unwrap_or_else(|| panic!("{t}"));
    let numbers = |s: &str| -> Vec<f64> {
        s.trim_start_matches("translate(")
            .trim_end_matches(')')
            .split(' ')
            .map(|n| n.parse().unwrap_or_else(|e| panic!("{t}: {e}")))
            .collect()
    };
    let (to, by) = (numbers(to), numbers(by));
    Affine::translate((to[0], to[1])) * Affine::scale_non_uniform(by[0], by[by.len() - 1])
}

#[test]
fn everything_drawn_lies_within_its_picture() {
    let mut tried = 0;
    for (name, drawing) in DRAWINGS.iter() {
        with(name, drawing, |doc| {
            for picture in doc.descendants().filter(|n| n.tag_name().name() == "svg") {
                let view: Vec<f64> = picture
                    .attribute("viewBox")
                    .unwrap_or_default()
                    .split(' ')
                    .map(|n| n.parse().expect("a view box is of numbers"))
                    .collect();
                let view = Rect::new(view[0], view[1], view[0] + view[2], view[1] + view[3]);
                for n in picture.descendants() {
                    let number =
                        |a: &str| n.attribute(a).map(|v| v.parse::<f64>().expect("a number"));
                    match n.tag_name().name() {
                        "path" => {
                            let d = n.attribute("d").unwrap_or_default();
                            let width = match n.attribute("stroke") {
                                Some(_) => number("stroke-width").unwrap_or(1.0),
                                None => 0.0,
                            };
                            let bounds = path(d).bounding_box().inflate(width / 2.0, width / 2.0);
                            let bounds = placed(n).transform_rect_bbox(bounds);
                            assert!(inside(view, bounds), "{name}: {bounds:?} in {view:?}: {d}");
                            tried += 1;
                        }
                        "text" => {
                            let size = number("font-size").expect("text has a size");
                            let (x, y) = (number("x").unwrap_or(-1.0), number("y").unwrap_or(-1.0));
                            let width =
                                n.text().unwrap_or_default().chars().count() as f64 * size * 0.5;
                            let left = match n.attribute("text-anchor") {
                                Some(_) => x - width / 2.0,
                                None => x,
                            };
                            let bounds = Rect::new(left, y - size, left + width, y + size * 0.25);
                            assert!(inside(view, bounds), "{name}: {:?} in {view:?}", n.text());
                        }
                        _ => {}
                    }
                }
            }
        });
    }
    assert!(tried > 5000, "{tried}");
}

/// Letters lie within the room of their outline: none touches its edge.
#[test]
fn every_letter_lies_within_its_outline() {
    for f in faces() {
        for (c, _) in f.letters() {
            for s in shapes() {
                let l = LetterStruck {
                    struck: Some(c.to_string()),
                    lettering: Some(f.id.to_string()),
                    case: if c.is_lowercase() { Case::Lower } else { Case::Upper },
                    outline: Some(s.id.to_string()),
                };
                let svg = puncheon_draw::letter(tables(), &l, false);
                with("letter", &svg, |doc| {
                    let n = doc
                        .descendants()
                        .find(|n| n.attribute("class") == Some("letter"))
                        .unwrap_or_else(|| panic!("{l:?} is not drawn"));
                    let d = n.attribute("d").unwrap_or_default();
                    let ground = n
                        .parent()
                        .and_then(|g| g.attribute("transform"))
                        .map_or(Affine::IDENTITY, transform);
                    let [x0, y0, x1, y1] = s.room;
                    let room = ground.transform_rect_bbox(Rect::new(x0, y0, x1, y1));
                    let bounds = placed(n).transform_rect_bbox(path(d).bounding_box());
                    assert!(
                        inside(room.inflate(0.3, 0.3), bounds),
                        "{l:?}: {bounds:?} in {room:?}"
                    );
                });
            }
        }
    }
}

#[test]
fn what_is_not_known_or_doubtful_is_shown_as_such() {
    let unknown = LetterStruck { struck: None, ..plain("A", Case::Either) };
    let svg = puncheon_draw::letter(tables(), &unknown, true);
    assert!(parsed("unknown", &svg).contains(&"letter not known".to_string()), "{svg}");
    assert!(svg.contains("stroke-dasharray=\"7 5\""), "{svg}");
    assert!(!svg.contains("class=\"letter\""), "{svg}");

    let sure = puncheon_draw::letter(tables(), &plain("A", Case::Upper), false);
    let doubtful = puncheon_draw::letter(tables(), &plain("A", Case::Upper), true);
    assert!(!sure.contains("stroke-dasharray=\"0 7\""), "{sure}");
    assert!(doubtful.contains("stroke-dasharray=\"0 7\""), "{doubtful}");
    assert!(parsed("doubtful", &doubtful).contains(&"doubtful".to_string()), "{doubtful}");

    let told = LetterStruck { outline: Some("oval".into()), ..plain("A", Case::Upper) };
    let told = puncheon_draw::letter(tables(), &told, false);
    assert!(sure.contains("stroke-dasharray=\"7 5\""), "an outline not known is dashed");
    assert!(!told.contains("stroke-dasharray"), "{told}");
}

#[test]
fn what_has_no_form_here_is_never_drawn_silently() {
    let notes = |l: &LetterStruck| puncheon_draw::notes(tables(), l, false).join("; ");
    let new_hand = LetterStruck { lettering: Some("new-hand".into()), ..plain("A", Case::Upper) };
    assert_eq!(notes(&new_hand), "new-hand, drawn as roman");
    let star = LetterStruck { outline: Some("star".into()), ..plain("A", Case::Upper) };
    assert_eq!(notes(&star), "outline not drawn: star");
    assert_eq!(notes(&plain("{crowned-head}", Case::Upper)), "crowned head is not drawn");
    assert_eq!(notes(&plain("B", Case::Either)), "capital or small");
    let pair = puncheon_draw::letter(tables(), &plain("A7", Case::Upper), false);
    assert_eq!(with("A7", &pair, drawn_letters).len(), 2);
}

#[test]
fn what_was_typed_is_text_in_the_drawing_and_nothing_else() {
    let typed = "anchor <script>alert(\"1\")</script> & 'f' ]]> \u{1}\u{fffe} --><!--";
    let reading = puncheon::read(tables(), typed, &Default::default());
    let svg = puncheon_draw::candidates(tables(), &reading, 12);
    let title = parsed("typed", &svg)[0].clone();
    assert!(title.contains("anchor <script>alert(\"1\")</script> & 'f' ]]>"), "{title}");
    assert!(!svg.contains("<script"), "{svg}");

    let mut chart = chart(tables(), &Asked::read(tables(), "york 1700").expect("a question"));
    chart.title = "<b> & \"c\"".into();
    chart.rows[0].shown = "<i>".into();
    chart.sources = vec!["<a href=\"x\">".into()];
    chart.cautions = vec!["a < b".into()];
    for drawing in [puncheon_draw::chart(tables(), &chart), puncheon_draw::page(tables(), &chart)] {
        let text = parsed("hostile", &drawing);
        assert!(text.contains(&"<b> & \"c\"".to_string()), "{text:?}");
        assert!(text.iter().any(|t| t.contains("<i>")), "{text:?}");
        assert!(!drawing.contains("<i>") && !drawing.contains("<a "), "{drawing}");
    }
}

#[test]
fn the_same_is_drawn_in_the_same_bytes() {
    for words in ["london 1690..1700", "1803"] {
        assert_eq!(draw_chart(words), draw_chart(words));
    }
    let reading = puncheon::read(tables(), DESCRIBED[1], &Default::default());
    let draw = || puncheon_draw::candidates(tables(), &reading, 12);
    assert_eq!(draw(), draw());
}

/// Every fit is drawn, or counted among those that are not.
#[test]
fn candidates_show_every_fit_or_say_how_many_are_left() {
    for words in DESCRIBED {
        let reading = puncheon::read(tables(), words, &Default::default());
        let all =
            parsed("all", &puncheon_draw::candidates(tables(), &reading, usize::MAX)).join(" ");
        for f in reading.fits.iter().chain(&reading.nears) {
            for part in [&f.office_name, &f.shown, &f.standard_name] {
                let found = part.split(' ').all(|word| all.contains(word));
                assert!(found, "{words}: {part} is not in the drawing");
            }
        }
        let one = parsed("one", &puncheon_draw::candidates(tables(), &reading, 1)).join(" ");
        let more = reading.fits.len() > 1 && reading.fits[0].shown != reading.fits[1].shown;
        assert!(!more || one.contains("more that are not drawn here"), "{words}: {one}");
        for part in &reading.parts {
            let fit = &part.reading.fits[0];
            assert!(all.contains(&part.label), "{words}: no {}", part.label);
            assert!(all.contains(&fit.shown), "{words}: no {}", fit.shown);
        }
        if reading.fits.is_empty() && reading.nears.is_empty() && reading.parts.is_empty() {
            assert!(all.contains("There is no letter to draw"), "{words}: {all}");
        }
    }
}

/// The page and the drawing show the same letters as the chart, year by year.
#[test]
fn charts_show_every_letter_of_every_year() {
    let asked = Asked::read(tables(), "birmingham").expect("a question");
    let chart = chart(tables(), &asked);
    for (name, drawing) in [
        ("svg", puncheon_draw::chart(tables(), &chart)),
        ("page", puncheon_draw::page(tables(), &chart)),
    ] {
        let text = parsed(name, &drawing);
        for row in &chart.rows {
            assert!(text.contains(&row.shown), "{name}: no {}", row.shown);
        }
        let count = with(name, &drawing, drawn_letters).len();
        let letters: usize = chart
            .rows
            .iter()
            .flat_map(|r| &r.cells)
            .flat_map(|c| &c.letters)
            .map(|l| {
                let differ = l.outline_gold.is_some()
                    && l.outline_silver.is_some()
                    && l.outline_gold != l.outline_silver;
                usize::from(l.struck.is_some()) * (1 + usize::from(differ))
            })
            .sum();
        assert_eq!(count, letters, "{name}");
    }
}

#[test]
fn the_program_writes_drawings_beside_its_answers() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    for (args, option) in [
        (vec!["read", "anchor, lion passant, k"], "--svg"),
        (vec!["chart", "york", "1700..1720"], "--svg"),
        (vec!["chart", "york", "1700..1720"], "--html"),
        (vec!["outlines"], "--svg"),
    ] {
        let plain = run(PUNCHEON, &args, "");
        let to = file("drawing");
        let mut drawn = args.clone();
        drawn.extend([option, &to]);
        let r = run(PUNCHEON, &drawn, "");
        assert_eq!((r.code, &r.err), (plain.code, &plain.err), "{drawn:?}");
        assert_eq!(r.out, plain.out, "the answer is the same with a drawing");
        let drawing = fs::read_to_string(&to).expect("the drawing is there");
        with(&to, &drawing, |_| ());
        assert_eq!(drawing.starts_with("<!DOCTYPE html>"), option == "--html");
    }
    let (svg, html) = (file("c.svg"), file("c.html"));
    let r = run(PUNCHEON, &["chart", "york", "1700", "--svg", &svg, "--html", &html], "");
    assert_eq!(r.code, 0, "{}", r.err);
    let (as_svg, as_html) = draw_chart("york 1700");
    assert_eq!(fs::read_to_string(svg).expect("the drawing"), as_svg);
    assert_eq!(fs::read_to_string(html).expect("the page"), as_html);
}

#[test]
fn a_drawing_that_cannot_be_written_is_refused_with_a_reason() {
    let folder = tempfile::tempdir().expect("a folder");
    let nowhere = folder.path().join("none/x.svg").to_string_lossy().into_owned();
    let here = folder.path().to_string_lossy().into_owned();
    let one = folder.path().join("one").to_string_lossy().into_owned();
    for (args, why) in [
        (vec!["read", "anchor", "--svg", &nowhere], "No such file"),
        (vec!["chart", "york", "--html", &here], "is a folder"),
        (vec!["read", "--svg", &one], "--svg draws one description"),
        (vec!["read", "anchor", "lion", "--each", "--svg", &one], "cannot be used with"),
        (vec!["chart", "york", "--svg", &one, "--html", &one], "name one file"),
    ] {
        let r = run(PUNCHEON, &args, "anchor\n");
        assert_eq!(r.code, 2, "{args:?}");
        assert!(r.err.contains(why), "{args:?}: {}", r.err);
    }
    let left: Vec<_> = fs::read_dir(folder.path()).expect("the folder").collect();
    assert!(left.is_empty(), "{left:?}");
}

/// The letterforms are others' work: their license and notices go with them.
#[test]
fn the_letterforms_carry_their_license() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../crates/puncheon-draw/glyphs");
    let read = |name: &str| fs::read_to_string(folder.join(name)).expect("the file is there");
    let notices = read("LICENSES.md");
    assert!(read("OFL.txt").contains("SIL OPEN FONT LICENSE Version 1.1"));
    let mut size = 0;
    for f in faces() {
        let name = format!("{}.glyphs", f.id);
        let row = notices.lines().find(|l| l.starts_with('|') && l.contains(&name));
        assert!(row.is_some_and(|r| r.contains("Copyright")), "{name} has no notice");
        size += read(&name).len();
    }
    assert!(size < 200_000, "the letterforms take {size} bytes");
}

/// Every outline of the tables has a sketch of even lines, no two are alike where their shapes are not,
/// and one of dots holds no more than a terminal's Braille patterns.
#[test]
fn every_outline_has_a_sketch() {
    let outlines = puncheon::outlines::outlines(tables());
    for how in [Sketch::Strokes, Sketch::Dots] {
        let mut seen: Vec<(String, Vec<String>)> = Vec::new();
        for o in &outlines.outlines {
            let lines = sketch(&o.id, how).unwrap_or_else(|| panic!("{} has no sketch", o.id));
            assert!((3..=6).contains(&lines.len()), "{}: {lines:?}", o.id);
            for l in &lines {
                assert_eq!(l.chars().count(), sketch_width(how), "{}: {l}", o.id);
                let known = |c: char| match how {
                    Sketch::Dots => ('\u{2800}'..='\u{28ff}').contains(&c),
                    Sketch::Strokes => " -|\\/.".contains(c),
                };
                assert!(l.chars().all(known), "{}: {l}", o.id);
            }
            if how == Sketch::Dots {
                let same = seen.iter().find(|s| s.1 == lines);
                assert!(same.is_none(), "{} looks like {same:?}", o.id);
            }
            seen.push((o.id.clone(), lines));
        }
        if how == Sketch::Dots {
            let all: Vec<String> =
                seen.iter().map(|(id, lines)| format!("{id}\n{}\n", lines.join("\n"))).collect();
            insta::assert_snapshot!("sketches_in_dots", all.join("\n"));
        }
    }
    assert_eq!(sketch("no such outline", Sketch::Dots), None);
}
