//! Which items hang together.

/// Sets of items that grow together.
pub(super) struct Groups {
    towards: Vec<usize>,
}

impl Groups {
    /// `n` items, each alone.
    pub fn new(n: usize) -> Self {
        Self { towards: (0..n).collect() }
    }

    fn root(&mut self, mut item: usize) -> usize {
        while self.towards[item] != item {
            self.towards[item] = self.towards[self.towards[item]];
            item = self.towards[item];
        }
        item
    }

    /// Makes one set of the sets of two items.
    pub fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.towards[a.max(b)] = a.min(b);
    }

    /// The number of each item's set, in order of first appearance.
    pub fn numbered(mut self) -> Vec<usize> {
        let mut roots = Vec::new();
        (0..self.towards.len())
            .map(|item| {
                let root = self.root(item);
                roots.iter().position(|&r| r == root).unwrap_or_else(|| {
                    roots.push(root);
                    roots.len() - 1
                })
            })
            .collect()
    }
}
