//! Strings of a source that are *read*: compared with a text, matched, searched for.
//!
//! A string that is said is none, whatever it says. So it counts where a string stands, and not what it
//! is: beside `==`, in a pattern, as what a method such as `starts_with` is given, or in a list through
//! which a text is looked for. Where it is handed on by a name, a list, a closure or an argument of a
//! function, it is followed.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use syn::parse::{Parse, ParseStream};
use syn::punctuated::Punctuated;
use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{Attribute, BinOp, Block, Expr, FnArg, ItemFn, Lit, Member, Pat, Signature, Token, Type};

/// Methods that hold what they are given against what they are called on.
const HOLD_AGAINST: [&str; 28] = [
    "binary_search",
    "contains",
    "ends_with",
    "eq",
    "eq_ignore_ascii_case",
    "find",
    "match_indices",
    "matches",
    "ne",
    "replace",
    "replacen",
    "rfind",
    "rmatches",
    "rsplit",
    "rsplit_once",
    "rsplitn",
    "split",
    "split_inclusive",
    "split_once",
    "split_terminator",
    "splitn",
    "starts_with",
    "strip_prefix",
    "strip_suffix",
    "trim_end_matches",
    "trim_matches",
    "trim_start_matches",
    "word",
];

/// Methods that leave a text the text it is, or a list the list.
const LEAVE: [&str; 24] = [
    "as_bytes",
    "as_deref",
    "as_ref",
    "as_slice",
    "as_str",
    "bytes",
    "chain",
    "chars",
    "cloned",
    "copied",
    "flatten",
    "into",
    "into_iter",
    "iter",
    "peekable",
    "rev",
    "skip",
    "take",
    "to_ascii_lowercase",
    "to_lowercase",
    "to_owned",
    "to_string",
    "trim",
    "unwrap_or",
];

/// How far a string is followed from name to name.
const FAR: usize = 12;

/// A string that is read.
#[derive(Clone, Debug)]
pub struct Word {
    /// The line it stands on.
    pub line: usize,
    /// What is read.
    pub text: String,
    /// The function in which it is held against a text, or in whose file the list stands.
    pub within: String,
}

/// A part of a value: an element of a tuple by its place, a field by its name.
type Part = String;

/// What a name is bound to.
#[derive(Clone)]
enum Bound {
    /// A value, or a part of it.
    Value(Expr, Vec<Part>),
    /// An element of a list, or a part of it.
    Element(Expr, Vec<Part>),
    /// An argument of a function or closure: whose, which, and what it can be.
    Argument(String, usize, Kind),
}

/// What an argument can be, by its type.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Text,
    Texts,
    Other,
    /// A closure's, of no type.
    Any,
}

impl Kind {
    fn of(pattern: &Pat) -> Kind {
        match pattern {
            Pat::Type(typed) => Kind::of_type(&typed.ty),
            _ => Kind::Any,
        }
    }

    fn of_type(mut ty: &Type) -> Kind {
        loop {
            match ty {
                Type::Reference(r) => ty = &r.elem,
                Type::Paren(p) => ty = &p.elem,
                Type::Slice(_) | Type::Array(_) => return Kind::Texts,
                Type::Path(p) if p.path.is_ident("str") || p.path.is_ident("String") => {
                    return Kind::Text;
                }
                _ => return Kind::Other,
            }
        }
    }
}

/// Which functions and closures hold which of their arguments against a text. Each goes by where it
/// stands.
type Readers = BTreeMap<String, BTreeSet<usize>>;

/// Functions by their names: where each stands, and the type that it belongs to.
type Functions = HashMap<String, Vec<(String, Option<String>)>>;

/// How a function is called.
enum Called {
    /// By its name, or the name of a module before it.
    Free,
    /// By the name of a type before it.
    Of(String),
    /// Behind a value.
    Method,
}

struct Source {
    path: String,
    tree: syn::File,
}

/// The strings that sources read, by the path each source came with.
pub fn read_in(sources: &[(String, String)]) -> BTreeMap<String, Vec<Word>> {
    let sources: Vec<Source> = sources
        .iter()
        .map(|(path, text)| Source {
            path: path.clone(),
            tree: syn::parse_file(text).unwrap_or_else(|e| panic!("{path}: {e}")),
        })
        .collect();
    let mut consts = Consts::default();
    let mut functions = Functions::new();
    for s in &sources {
        consts.path = &s.path;
        consts.visit_file(&s.tree);
        let mut items = Items { path: &s.path, ..Items::default() };
        items.visit_file(&s.tree);
        for f in items.functions {
            functions.entry(f.0).or_default().push((f.1, f.2));
        }
    }
    let mut readers = Readers::new();
    loop {
        let known: usize = readers.values().map(BTreeSet::len).sum();
        let mut words: BTreeMap<String, BTreeMap<(usize, usize), Word>> = BTreeMap::new();
        for s in &sources {
            let mut finder = Finder {
                path: &s.path,
                consts: &consts.all,
                functions: &functions,
                of: None,
                readers: &mut readers,
                words: &mut words,
                names: vec![HashMap::new()],
            };
            finder.visit_file(&s.tree);
        }
        if readers.values().map(BTreeSet::len).sum::<usize>() == known {
            return words.into_iter().map(|(p, w)| placed(&sources, p, w)).collect();
        }
    }
}

/// The words of a file, each with the function or list that it stands in.
fn placed(
    sources: &[Source],
    path: String,
    words: BTreeMap<(usize, usize), Word>,
) -> (String, Vec<Word>) {
    let mut items = Items { path: &path, ..Items::default() };
    for s in sources.iter().filter(|s| s.path == path) {
        items.visit_file(&s.tree);
    }
    let placed = words.into_values().map(|w| {
        // The innermost begins last.
        let around =
            items.spans.iter().filter(|i| (i.0..=i.1).contains(&w.line)).max_by_key(|i| i.0);
        Word { within: around.map(|i| i.2.clone()).unwrap_or_default(), ..w }
    });
    let placed = placed.collect();
    (path, placed)
}

/// The functions and constants of a file.
#[derive(Default)]
struct Items<'s> {
    path: &'s str,
    of: Option<String>,
    /// First line, last line and name of each.
    spans: Vec<(usize, usize, String)>,
    /// Name, place and type of each function.
    functions: Vec<(String, String, Option<String>)>,
}

impl Items<'_> {
    fn add(&mut self, name: &syn::Ident, item: &dyn Spanned) {
        let span = item.span();
        self.spans.push((span.start().line, span.end().line, name.to_string()));
    }

    fn add_function(&mut self, s: &Signature) {
        self.functions.push((s.ident.to_string(), place(self.path, s), self.of.clone()));
    }
}

impl<'s> Visit<'s> for Items<'_> {
    fn visit_item_mod(&mut self, m: &'s syn::ItemMod) {
        if !of_tests(&m.attrs) {
            visit::visit_item_mod(self, m);
        }
    }
    fn visit_item_impl(&mut self, i: &'s syn::ItemImpl) {
        let outer = self.of.replace(type_name(&i.self_ty));
        visit::visit_item_impl(self, i);
        self.of = outer;
    }
    fn visit_item_fn(&mut self, f: &'s ItemFn) {
        self.add(&f.sig.ident, f);
        let outer = self.of.take();
        self.add_function(&f.sig);
        visit::visit_item_fn(self, f);
        self.of = outer;
    }
    fn visit_impl_item_fn(&mut self, f: &'s syn::ImplItemFn) {
        self.add(&f.sig.ident, f);
        self.add_function(&f.sig);
        visit::visit_impl_item_fn(self, f);
    }
    fn visit_item_const(&mut self, c: &'s syn::ItemConst) {
        self.add(&c.ident, c);
    }
    fn visit_item_static(&mut self, c: &'s syn::ItemStatic) {
        self.add(&c.ident, c);
    }
    fn visit_impl_item_const(&mut self, c: &'s syn::ImplItemConst) {
        self.add(&c.ident, c);
    }
}

/// Where something stands, as the name that it goes by.
fn place(path: &str, item: &dyn Spanned) -> String {
    let at = item.span().start();
    format!("{path}:{}:{}", at.line, at.column)
}

fn type_name(ty: &Type) -> String {
    match ty {
        Type::Path(p) => last(&p.path),
        Type::Reference(r) => type_name(&r.elem),
        _ => String::new(),
    }
}

fn of_tests(attributes: &[Attribute]) -> bool {
    attributes.iter().any(|a| {
        a.path().is_ident("test")
            || a.path().is_ident("cfg")
                && a.parse_args::<syn::Ident>().is_ok_and(|what| what == "test")
    })
}

/// Constants of every file by their names, with the file that each stands in.
#[derive(Default)]
struct Consts<'s> {
    path: &'s str,
    all: HashMap<String, Vec<(&'s str, &'s Expr)>>,
}

impl<'s> Consts<'s> {
    fn add(&mut self, name: &syn::Ident, value: &'s Expr) {
        self.all.entry(name.to_string()).or_default().push((self.path, value));
    }
}

impl<'s> Visit<'s> for Consts<'s> {
    fn visit_item_mod(&mut self, m: &'s syn::ItemMod) {
        if !of_tests(&m.attrs) {
            visit::visit_item_mod(self, m);
        }
    }
    fn visit_item_const(&mut self, c: &'s syn::ItemConst) {
        self.add(&c.ident, &c.expr);
    }
    fn visit_item_static(&mut self, c: &'s syn::ItemStatic) {
        self.add(&c.ident, &c.expr);
    }
    fn visit_impl_item_const(&mut self, c: &'s syn::ImplItemConst) {
        self.add(&c.ident, &c.expr);
    }
}

struct Finder<'f, 's> {
    path: &'s str,
    consts: &'f HashMap<String, Vec<(&'s str, &'s Expr)>>,
    functions: &'f Functions,
    /// The type whose functions these are.
    of: Option<String>,
    readers: &'f mut Readers,
    words: &'f mut BTreeMap<String, BTreeMap<(usize, usize), Word>>,
    names: Vec<HashMap<String, Bound>>,
}

impl Finder<'_, '_> {
    fn bind(&mut self, name: String, to: Bound) {
        if let Some(scope) = self.names.last_mut() {
            scope.insert(name, to);
        }
    }

    fn bound(&self, name: &str) -> Option<&Bound> {
        self.names.iter().rev().find_map(|scope| scope.get(name))
    }

    fn scoped(&mut self, f: impl FnOnce(&mut Self)) {
        self.names.push(HashMap::new());
        f(self);
        self.names.pop();
    }

    /// Binds the names of a pattern to the parts of what it takes apart.
    fn bind_pattern(&mut self, pattern: &Pat, parts: &[Part], to: &dyn Fn(Vec<Part>) -> Bound) {
        match pattern {
            Pat::Ident(p) => self.bind(p.ident.to_string(), to(parts.to_vec())),
            Pat::Reference(p) => self.bind_pattern(&p.pat, parts, to),
            Pat::Paren(p) => self.bind_pattern(&p.pat, parts, to),
            Pat::Type(p) => self.bind_pattern(&p.pat, parts, to),
            Pat::Tuple(p) => {
                for (i, pattern) in p.elems.iter().enumerate() {
                    let parts = [parts, &[i.to_string()]].concat();
                    self.bind_pattern(pattern, &parts, to);
                }
            }
            _ => {}
        }
    }

    fn function(&mut self, s: &Signature, body: &Block) {
        let name = place(self.path, s);
        self.scoped(|f| {
            let typed = s.inputs.iter().filter_map(|a| match a {
                FnArg::Typed(t) => Some(t),
                FnArg::Receiver(_) => None,
            });
            for (i, argument) in typed.enumerate() {
                let kind = Kind::of_type(&argument.ty);
                f.bind_pattern(&argument.pat, &[], &|_| Bound::Argument(name.clone(), i, kind));
            }
            visit::visit_block(f, body);
        });
    }

    /// Notes what is held against a text.
    fn read(&mut self, e: &Expr, parts: &[Part], far: usize) {
        if far == FAR {
            return;
        }
        let far = far + 1;
        match e {
            Expr::Lit(l) if parts.is_empty() => self.note(&l.lit),
            Expr::Reference(e) => self.read(&e.expr, parts, far),
            Expr::Paren(e) => self.read(&e.expr, parts, far),
            Expr::Group(e) => self.read(&e.expr, parts, far),
            Expr::Unary(e) => self.read(&e.expr, parts, far),
            Expr::Index(e) => self.elements(&e.expr, parts, far),
            Expr::Field(e) => {
                let part = match &e.member {
                    Member::Named(n) => n.to_string(),
                    Member::Unnamed(i) => i.index.to_string(),
                };
                self.read(&e.base, &[&[part], parts].concat(), far);
            }
            Expr::Tuple(t) => match parts {
                [] => t.elems.iter().for_each(|e| self.read(e, &[], far)),
                [first, rest @ ..] => {
                    let at = first.parse().ok().and_then(|i: usize| t.elems.get(i));
                    at.into_iter().for_each(|e| self.read(e, rest, far));
                }
            },
            Expr::Struct(s) => {
                let [first, rest @ ..] = parts else {
                    return;
                };
                for f in &s.fields {
                    if matches!(&f.member, Member::Named(n) if n == first) {
                        self.read(&f.expr, rest, far);
                    }
                }
            }
            Expr::Array(_) | Expr::Repeat(_) => self.elements(e, parts, far),
            Expr::If(e) => {
                self.read_end(&e.then_branch, parts, far);
                e.else_branch.iter().for_each(|(_, e)| self.read(e, parts, far));
            }
            Expr::Block(b) => self.read_end(&b.block, parts, far),
            Expr::Match(m) => m.arms.iter().for_each(|a| self.read(&a.body, parts, far)),
            Expr::Call(c) => {
                // Some("of") and its like.
                if matches!(&*c.func, Expr::Path(p) if last(&p.path).starts_with(char::is_uppercase))
                {
                    c.args.iter().for_each(|e| self.read(e, parts, far));
                }
            }
            Expr::MethodCall(m) if LEAVE.contains(&m.method.to_string().as_str()) => {
                self.read(&m.receiver, parts, far);
                m.args.iter().for_each(|e| self.read(e, parts, far));
            }
            Expr::Macro(m) if last(&m.mac.path) == "format" => {
                if let Ok(Listed(all)) = m.mac.parse_body()
                    && let Some(Expr::Lit(template)) = all.first()
                {
                    self.note(&template.lit);
                }
            }
            Expr::Path(p) => self.named(&p.path, parts, far, false),
            _ => {}
        }
    }

    fn read_end(&mut self, block: &Block, parts: &[Part], far: usize) {
        if let Some(syn::Stmt::Expr(e, None)) = block.stmts.last() {
            self.read(e, parts, far);
        }
    }

    /// Notes what a name stands for; of a list its elements.
    fn named(&mut self, path: &syn::Path, parts: &[Part], far: usize, list: bool) {
        let name = last(path);
        let bound = path.get_ident().and_then(|_| self.bound(&name)).cloned();
        match bound {
            Some(Bound::Value(e, of)) => {
                let parts = [&of, parts].concat();
                if list { self.elements(&e, &parts, far) } else { self.read(&e, &parts, far) }
            }
            Some(Bound::Element(e, of)) => self.elements(&e, &[&of, parts].concat(), far),
            Some(Bound::Argument(..)) if !parts.is_empty() => {}
            Some(Bound::Argument(function, i, kind)) => {
                // A text in which something is looked for is none that is looked for.
                if kind == Kind::Texts || kind == Kind::Any || kind == Kind::Text && !list {
                    self.readers.entry(function).or_default().insert(i);
                }
            }
            None => {
                let all = self.consts.get(&name).map(Vec::as_slice).unwrap_or_default();
                let here = all.iter().filter(|(path, _)| *path == self.path);
                let from = here.chain(all).next().copied();
                if let Some((path, value)) = from {
                    let was = std::mem::replace(&mut self.path, path);
                    if list {
                        self.elements(value, parts, far)
                    } else {
                        self.read(value, parts, far)
                    }
                    self.path = was;
                }
            }
        }
    }

    /// Notes the elements of a list.
    fn elements(&mut self, list: &Expr, parts: &[Part], far: usize) {
        if far >= FAR {
            return;
        }
        let far = far + 1;
        match list {
            Expr::Array(a) => a.elems.iter().for_each(|e| self.read(e, parts, far)),
            Expr::Reference(e) => self.elements(&e.expr, parts, far),
            Expr::Paren(e) => self.elements(&e.expr, parts, far),
            Expr::Path(p) => self.named(&p.path, parts, far, true),
            Expr::Macro(m) if last(&m.mac.path) == "vec" => {
                if let Ok(Listed(all)) = m.mac.parse_body() {
                    all.iter().for_each(|e| self.read(e, parts, far));
                }
            }
            Expr::MethodCall(m) => match (m.method.to_string().as_str(), parts) {
                ("enumerate", [first, rest @ ..]) if first == "1" => {
                    self.elements(&m.receiver, rest, far);
                }
                ("zip", [first, rest @ ..]) => {
                    let side = if first == "0" { Some(&*m.receiver) } else { m.args.first() };
                    side.into_iter().for_each(|e| self.elements(e, rest, far));
                }
                ("filter" | "skip_while" | "take_while" | "inspect", _) => {
                    self.elements(&m.receiver, parts, far);
                }
                (name, _) if LEAVE.contains(&name) => self.elements(&m.receiver, parts, far),
                _ => {}
            },
            Expr::Field(_) | Expr::Index(_) => self.read(list, parts, far),
            _ => {}
        }
    }

    fn note(&mut self, literal: &Lit) {
        let text = match literal {
            Lit::Str(s) => s.value(),
            Lit::ByteStr(b) => String::from_utf8_lossy(&b.value()).into_owned(),
            _ => return,
        };
        if without_placeholders(&text).contains(|c: char| c.is_alphabetic()) {
            let at = literal.span().start();
            let word = Word { line: at.line, text, within: String::new() };
            self.words.entry(self.path.to_string()).or_default().insert((at.line, at.column), word);
        }
    }

    /// Notes the arguments of a call that every function of the name holds against a text.
    fn call(&mut self, name: &str, how: &Called, args: &Punctuated<Expr, Token![,]>) {
        let all = self.functions.get(name).map(Vec::as_slice).unwrap_or_default();
        let may_be = |f: &&(String, Option<String>)| match how {
            Called::Free => f.1.is_none(),
            Called::Of(ty) => f.1.as_ref() == Some(ty),
            Called::Method => f.1.is_some(),
        };
        let here = |f: &&(String, Option<String>)| {
            let file = f.0.split(':').next();
            matches!(how, Called::Free) && file == Some(self.path)
        };
        let mut called: Vec<&str> =
            all.iter().filter(may_be).filter(here).map(|f| f.0.as_str()).collect();
        if called.is_empty() {
            called = all.iter().filter(may_be).map(|f| f.0.as_str()).collect();
        }
        let reads = |f: &&str, i: usize| self.readers.get(*f).is_some_and(|r| r.contains(&i));
        let read: Vec<usize> = (0..args.len())
            .filter(|i| !called.is_empty() && called.iter().all(|f| reads(f, *i)))
            .collect();
        read.into_iter().for_each(|i| self.read(&args[i], &[], 0));
    }

    fn call_closure(&mut self, c: &syn::ExprClosure, args: &Punctuated<Expr, Token![,]>) {
        let read = self.readers.get(&place(self.path, c)).cloned().unwrap_or_default();
        read.into_iter().filter_map(|i| args.get(i)).for_each(|e| self.read(e, &[], 0));
    }

    /// A closure that is handed the elements of a list.
    fn closure_over(&mut self, list: &Expr, c: &syn::ExprClosure) {
        self.scoped(|f| {
            for pattern in &c.inputs {
                f.bind_pattern(pattern, &[], &|parts| Bound::Element(list.clone(), parts));
            }
            f.visit_expr(&c.body);
        });
    }
}

/// A template without its `{…}`.
fn without_placeholders(s: &str) -> String {
    let mut depth = 0;
    let outside = |c: &char| {
        depth += i32::from(*c == '{');
        let outside = depth == 0;
        depth -= i32::from(*c == '}');
        outside
    };
    s.chars().filter(outside).collect()
}

fn last(path: &syn::Path) -> String {
    path.segments.last().map(|s| s.ident.to_string()).unwrap_or_default()
}

impl<'ast> Visit<'ast> for Finder<'_, '_> {
    fn visit_attribute(&mut self, _: &'ast Attribute) {}

    fn visit_item_mod(&mut self, m: &'ast syn::ItemMod) {
        if !of_tests(&m.attrs) {
            visit::visit_item_mod(self, m);
        }
    }

    fn visit_item_impl(&mut self, i: &'ast syn::ItemImpl) {
        let outer = self.of.replace(type_name(&i.self_ty));
        visit::visit_item_impl(self, i);
        self.of = outer;
    }

    fn visit_item_fn(&mut self, f: &'ast ItemFn) {
        if !of_tests(&f.attrs) {
            self.function(&f.sig, &f.block);
        }
    }

    fn visit_impl_item_fn(&mut self, f: &'ast syn::ImplItemFn) {
        if !of_tests(&f.attrs) {
            self.function(&f.sig, &f.block);
        }
    }

    fn visit_block(&mut self, b: &'ast Block) {
        self.scoped(|f| visit::visit_block(f, b));
    }

    fn visit_local(&mut self, l: &'ast syn::Local) {
        visit::visit_local(self, l);
        if let Some(init) = &l.init {
            self.bind_pattern(&l.pat, &[], &|parts| Bound::Value((*init.expr).clone(), parts));
        }
    }

    fn visit_expr_for_loop(&mut self, l: &'ast syn::ExprForLoop) {
        self.visit_expr(&l.expr);
        self.scoped(|f| {
            f.bind_pattern(&l.pat, &[], &|parts| Bound::Element((*l.expr).clone(), parts));
            f.visit_block(&l.body);
        });
    }

    fn visit_expr_closure(&mut self, c: &'ast syn::ExprClosure) {
        let name = place(self.path, c);
        self.scoped(|f| {
            for (i, pattern) in c.inputs.iter().enumerate() {
                let kind = Kind::of(pattern);
                f.bind_pattern(pattern, &[], &|_| Bound::Argument(name.clone(), i, kind));
            }
            f.visit_expr(&c.body);
        });
    }

    fn visit_expr_binary(&mut self, b: &'ast syn::ExprBinary) {
        if matches!(b.op, BinOp::Eq(_) | BinOp::Ne(_)) {
            self.read(&b.left, &[], 0);
            self.read(&b.right, &[], 0);
        }
        visit::visit_expr_binary(self, b);
    }

    fn visit_expr_method_call(&mut self, m: &'ast syn::ExprMethodCall) {
        self.visit_expr(&m.receiver);
        let name = m.method.to_string();
        let by_closure = matches!(m.args.first(), Some(Expr::Closure(_)));
        if HOLD_AGAINST.contains(&name.as_str()) {
            // What is put in its place is said.
            m.args.iter().take(1).for_each(|e| self.read(e, &[], 0));
            if !by_closure {
                self.elements(&m.receiver, &[], 0);
            }
        } else if name != "get" {
            // What a cell or a field is got by is its name.
            self.call(&name, &Called::Method, &m.args);
        }
        for e in &m.args {
            match e {
                Expr::Closure(c) => self.closure_over(&m.receiver, c),
                e => self.visit_expr(e),
            }
        }
    }

    fn visit_expr_call(&mut self, c: &'ast syn::ExprCall) {
        if let Expr::Path(p) = &*c.func {
            let name = last(&p.path);
            let before = p.path.segments.iter().rev().nth(1).map(|s| s.ident.to_string());
            match (self.bound(&name).cloned(), before) {
                (Some(Bound::Value(Expr::Closure(of), _)), None) => self.call_closure(&of, &c.args),
                (_, Some(ty)) if ty == "Self" => {
                    let own = self.of.clone().unwrap_or_default();
                    self.call(&name, &Called::Of(own), &c.args);
                }
                (_, Some(ty)) if ty.starts_with(char::is_uppercase) => {
                    self.call(&name, &Called::Of(ty), &c.args);
                }
                _ => self.call(&name, &Called::Free, &c.args),
            }
        }
        visit::visit_expr_call(self, c);
    }

    fn visit_pat(&mut self, p: &'ast Pat) {
        match p {
            Pat::Lit(l) => self.note(&l.lit),
            Pat::Path(p) => self.named(&p.path, &[], 0, false),
            // A constant in a pattern looks like a name that is bound.
            Pat::Ident(i) if i.ident.to_string().starts_with(char::is_uppercase) => {
                self.named(&i.ident.clone().into(), &[], 0, false);
            }
            _ => {}
        }
        visit::visit_pat(self, p);
    }

    fn visit_macro(&mut self, m: &'ast syn::Macro) {
        if last(&m.path) == "matches" {
            if let Ok(m) = m.parse_body::<Matches>() {
                self.visit_expr(&m.of);
                self.visit_pat(&m.pattern);
                m.guard.iter().for_each(|e| self.visit_expr(e));
            }
        } else if let Ok(Listed(all)) = m.parse_body() {
            all.iter().for_each(|e| self.visit_expr(e));
        }
    }
}

/// What `vec!`, `format!` and their like are given.
struct Listed(Punctuated<Expr, Token![,]>);

impl Parse for Listed {
    fn parse(input: ParseStream) -> syn::Result<Listed> {
        Punctuated::parse_terminated(input).map(Listed)
    }
}

/// What `matches!` is given.
struct Matches {
    of: Expr,
    pattern: Pat,
    guard: Option<Expr>,
}

impl Parse for Matches {
    fn parse(input: ParseStream) -> syn::Result<Matches> {
        let of = input.parse()?;
        input.parse::<Token![,]>()?;
        let pattern = Pat::parse_multi_with_leading_vert(input)?;
        let guard = match input.parse::<Option<Token![if]>>()? {
            Some(_) => Some(input.parse()?),
            None => None,
        };
        input.parse::<Option<Token![,]>>()?;
        Ok(Matches { of, pattern, guard })
    }
}
