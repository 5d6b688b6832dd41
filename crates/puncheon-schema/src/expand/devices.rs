//! Devices, and how a word for one meets another.

use super::Places;
use crate::entry::{Device, DeviceKind};
use crate::read::{Entries, Filed, Index};

/// Devices that a device is a form of, itself first.
pub(super) fn broader<'a>(devices: &'a [Filed<Device>], at: &Index<'a>, i: usize) -> Vec<usize> {
    let mut out = vec![i];
    let mut k = 0;
    while k < out.len() {
        for id in &devices[out[k]].entry.is {
            if let Some(&j) = at.get(id.as_str())
                && !out.contains(&j)
            {
                out.push(j);
            }
        }
        k += 1;
    }
    out
}

/// How a device word meets a device struck, before the mark's own confidence is weighed.
pub(super) fn relations(e: &Entries, at: &Places) -> Vec<Vec<u8>> {
    let n = e.devices.len();
    let up: Vec<Vec<usize>> = (0..n).map(|i| broader(&e.devices, &at.devices, i)).collect();
    let ids = |v: &[String]| -> Vec<usize> {
        v.iter().filter_map(|d| at.devices.get(d.as_str()).copied()).collect()
    };
    let strains: Vec<Vec<usize>> = e.devices.iter().map(|f| ids(&f.entry.strains)).collect();
    let misread: Vec<Vec<usize>> = e.devices.iter().map(|f| ids(&f.entry.misread)).collect();
    // "Crown and 999" is two things in one punch: a 999 alone does not explain its crown.
    let joint = |i: usize| {
        let kinds = || e.devices[i].entry.is.iter().filter_map(|d| at.devices.get(d.as_str()));
        let kinds: Vec<DeviceKind> = kinds().map(|d| e.devices[*d].entry.kind).collect();
        kinds.iter().any(|k| *k != kinds[0])
    };
    let joint: Vec<bool> = (0..n).map(joint).collect();
    let mut out = vec![vec![0u8; n]; n];
    for word in 0..n {
        for struck in 0..n {
            let part = joint[word] && word != struck;
            let agree = up[struck].contains(&word) || !part && up[word].contains(&struck);
            let strain = strains[word].iter().any(|s| up[struck].contains(s));
            let easy = up[word].iter().any(|a| misread[*a].iter().any(|m| up[struck].contains(m)))
                || up[struck].iter().any(|a| misread[*a].iter().any(|m| up[word].contains(m)));
            out[word][struck] = if agree {
                1
            } else if strain {
                2
            } else if easy {
                3
            } else {
                0
            };
        }
    }
    out
}
