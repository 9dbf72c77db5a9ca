//! Which sibling modules speak of each other, and the cycles among them.
//!
//! Modules with the same parent are the points of one graph. It has an edge `a -> b`
//! when code in `a` or below names something in `b` or below. What the parent itself
//! says is no edge, nor is a child's use of what stands in the parent's own file; a
//! name that the parent only passes on (`use b::Name`) is followed to `b`. What a
//! `use` names is taken for the module when there is a module of that name; what comes
//! through a `*` is followed when it is a module or bound by a `use`.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use crate::modules::Module;
use crate::names::Names;

/// The place of one reference that makes an edge.
pub type Place = (PathBuf, usize);
/// The edges among siblings, from one to the other.
pub type Edges = BTreeMap<(String, String), Place>;

/// Modules that all lead to each other.
pub struct Cycle {
    /// Their parent, from `crate` on.
    pub parent: String,
    /// Their names.
    pub members: Vec<String>,
    /// The edges among them.
    pub edges: Edges,
}

/// The edges among siblings by their parent's path, each with its first reference.
pub fn edges(modules: &[Module]) -> BTreeMap<Vec<String>, Edges> {
    let tree = Tree(
        modules
            .iter()
            .map(|m| (m.path.as_slice(), &m.names))
            .collect(),
    );
    let mut graphs: BTreeMap<Vec<String>, Edges> = BTreeMap::new();
    for module in modules {
        for said in &module.names.said {
            let mut met = Vec::new();
            tree.follow(&module.path, &said.path, said.by_use, FUEL, &mut met);
            for other in met {
                let shared = module
                    .path
                    .iter()
                    .zip(&other)
                    .take_while(|(a, b)| a == b)
                    .count();
                if let (Some(a), Some(b)) = (module.path.get(shared), other.get(shared)) {
                    graphs
                        .entry(other[..shared].to_vec())
                        .or_default()
                        .entry((a.clone(), b.clone()))
                        .or_insert_with(|| (module.file.clone(), said.line));
                }
            }
        }
    }
    graphs
}

/// How often a name may be passed on; ends what is bound to itself.
const FUEL: usize = 16;

/// A crate's modules by their paths.
struct Tree<'a>(BTreeMap<&'a [String], &'a Names>);

impl Tree<'_> {
    fn has(&self, at: &[String], name: &String) -> bool {
        self.0
            .contains_key([at, std::slice::from_ref(name)].concat().as_slice())
    }

    /// Collects the modules that a path said in the module `from` leads through.
    ///
    /// Its last name is a module only in a `use`: `module` says so.
    fn follow(
        &self,
        from: &[String],
        said: &[String],
        module: bool,
        fuel: usize,
        met: &mut Vec<Vec<String>>,
    ) {
        let Some(first) = said.first().filter(|_| fuel > 0) else {
            return;
        };
        match first.as_str() {
            "crate" => return self.descend(&[], &said[1..], module, fuel, met),
            "self" | "super" => {
                let own = said
                    .iter()
                    .take_while(|s| *s == "self" || *s == "super")
                    .count();
                let up = said[..own].iter().filter(|s| *s == "super").count();
                let at = &from[..from.len().saturating_sub(up)];
                return self.descend(at, &said[own..], module, fuel, met);
            }
            _ => {}
        }
        let names = self.0[from];
        let is_child = |at: &[String]| (module || said.len() > 1) && self.has(at, first);
        if is_child(from) || names.bound.contains_key(first) {
            return self.descend(from, said, module, fuel, met);
        }
        for glob in &names.globs {
            let mut through = Vec::new();
            self.follow(from, glob, true, fuel - 1, &mut through);
            if let Some(at) = through.pop()
                && (is_child(&at) || self.0[at.as_slice()].bound.contains_key(first))
            {
                self.descend(&at, said, module, fuel - 1, met);
            }
        }
    }

    /// Goes down from a module as far as there are modules, then on with what is passed on.
    fn descend(
        &self,
        at: &[String],
        rest: &[String],
        module: bool,
        fuel: usize,
        met: &mut Vec<Vec<String>>,
    ) {
        let most = rest.len().saturating_sub(usize::from(!module));
        let down = (0..most)
            .take_while(|&n| self.has(&[at, &rest[..n]].concat(), &rest[n]))
            .count();
        let at = [at, &rest[..down]].concat();
        met.push(at.clone());
        if let Some((name, after)) = rest[down..].split_first()
            && let Some(bound) = self.0[at.as_slice()].bound.get(name)
        {
            self.follow(&at, &[bound, after].concat(), module, fuel - 1, met);
        }
    }
}

/// The cycles in each graph: groups of more than one whose members all lead to each other.
pub fn cycles(graphs: &BTreeMap<Vec<String>, Edges>) -> Vec<Cycle> {
    let mut cycles = Vec::new();
    for (parent, edges) in graphs {
        for members in knots(edges.keys().map(|(a, b)| (a.as_str(), b.as_str()))) {
            let within = |(a, b): &(String, String)| members.contains(a) && members.contains(b);
            let edges = edges
                .iter()
                .filter(|(e, _)| within(e))
                .map(|(e, p)| (e.clone(), p.clone()));
            let parent = [&["crate".to_owned()], parent.as_slice()]
                .concat()
                .join("::");
            cycles.push(Cycle {
                parent,
                edges: edges.collect(),
                members: members.clone(),
            });
        }
    }
    cycles
}

/// The strongly connected groups of more than one point.
pub fn knots<'a>(edges: impl Iterator<Item = (&'a str, &'a str)>) -> Vec<Vec<String>> {
    let mut next: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (a, b) in edges {
        next.entry(a).or_default().push(b);
    }
    let reached = |from: &'a str| {
        let (mut seen, mut open) = (BTreeSet::new(), vec![from]);
        while let Some(at) = open.pop() {
            open.extend(
                next.get(at)
                    .into_iter()
                    .flatten()
                    .filter(|to| seen.insert(**to)),
            );
        }
        seen
    };
    let reach: BTreeMap<&str, BTreeSet<&str>> = next.keys().map(|a| (*a, reached(a))).collect();
    let leads = |a: &str, b: &str| reach.get(a).is_some_and(|all| all.contains(b));
    let groups: BTreeSet<Vec<String>> = reach
        .iter()
        .map(|(a, all)| {
            all.iter()
                .filter(|b| leads(b, a))
                .map(ToString::to_string)
                .collect()
        })
        .filter(|group: &Vec<String>| group.len() > 1)
        .collect();
    groups.into_iter().collect()
}

#[cfg(test)]
#[path = "graph_tests.rs"]
mod tests;
