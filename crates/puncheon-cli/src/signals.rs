//! Being asked to end.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// True from when the program is asked to end. Each signal that asks for it is taken by itself: one
/// that was to be ignored when the program started, as a hang-up under nohup, is ignored. Asked once
/// more, the program ends at once, whatever it waits for.
pub fn heard() -> Arc<AtomicBool> {
    let asked = Arc::new(AtomicBool::new(false));
    #[cfg(unix)]
    unix::take(&asked);
    #[cfg(not(unix))]
    {
        use std::sync::atomic::Ordering;

        let told = Arc::clone(&asked);
        let told = move || {
            if told.swap(true, Ordering::Relaxed) {
                std::process::exit(i32::from(crate::out::Exit::Misuse as u8));
            }
        };
        let _ = ctrlc::try_set_handler(told);
    }
    asked
}

/// Ctrl-C ends nothing from now on. What else asks for an end still does.
pub fn interrupt_is_no_end() {
    #[cfg(unix)]
    unix::interrupt_is_no_end();
    #[cfg(not(unix))]
    let _ = ctrlc::try_set_handler(|| {});
}

#[cfg(unix)]
mod unix {
    use std::fs;
    use std::io::Read;
    use std::os::unix::net::UnixStream;
    use std::process::{Command, Stdio};
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::thread;
    use std::time::Duration;

    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::{flag, low_level};

    /// A signal, with its name for a shell.
    type Signal = (i32, &'static str);

    const INTERRUPT: Signal = (SIGINT, "INT");
    const SIGNALS: [Signal; 3] = [(SIGHUP, "HUP"), INTERRUPT, (SIGTERM, "TERM")];
    /// Who asks a program and its whole group, as `timeout` does, asks it twice and means one end:
    /// what comes within this time of the first is not asked once more.
    const AS_ONE: Duration = Duration::from_millis(500);

    /// Takes each signal that is not to be ignored. One that cannot be taken just ends the program.
    pub fn take(asked: &Arc<AtomicBool>) {
        let heeded = SIGNALS.into_iter().filter(|s| !ignored(*s));
        let heeded: Vec<i32> = heeded.map(|s| s.0).collect();
        // Where no thread can be started, what comes at once counts too.
        let again = some_time_after(&heeded).unwrap_or_else(|| Arc::clone(asked));
        for signal in heeded {
            // In this order, so that the first does not find itself.
            let _ = flag::register_conditional_default(signal, Arc::clone(&again));
            let _ = flag::register(signal, Arc::clone(asked));
        }
    }

    /// True from some time after the first of these signals.
    fn some_time_after(signals: &[i32]) -> Option<Arc<AtomicBool>> {
        let (mut hears, told) = UnixStream::pair().ok()?;
        let after = Arc::new(AtomicBool::new(false));
        let set = Arc::clone(&after);
        let wait = move || {
            if hears.read_exact(&mut [0]).is_ok() {
                thread::sleep(AS_ONE);
                set.store(true, Ordering::Relaxed);
            }
        };
        thread::Builder::new().spawn(wait).ok()?;
        for signal in signals {
            low_level::pipe::register(*signal, told.try_clone().ok()?).ok()?;
        }
        Some(after)
    }

    pub fn interrupt_is_no_end() {
        if !ignored(INTERRUPT) {
            let _ = flag::register(SIGINT, Arc::default());
        }
    }

    fn ignored(signal: Signal) -> bool {
        listed(signal).unwrap_or_else(|| survived(signal))
    }

    /// What the system lists as ignored, where it lists it.
    fn listed((signal, _): Signal) -> Option<bool> {
        let status = fs::read_to_string("/proc/self/status").ok()?;
        let set = status.lines().find_map(|l| l.strip_prefix("SigIgn:"))?;
        let set = u64::from_str_radix(set.trim(), 16).ok()?;
        Some(set >> (signal - 1) & 1 == 1)
    }

    /// What is ignored stays so in a child, and a child that ignores it lives on.
    fn survived((_, name): Signal) -> bool {
        let child = Command::new("sh")
            .args(["-c", &format!("kill -{name} $$")])
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        child.is_ok_and(|s| s.success())
    }

    #[cfg(test)]
    mod tests {
        use super::*;

        #[test]
        fn both_ways_to_know_agree() {
            for signal in SIGNALS {
                if let Some(listed) = listed(signal) {
                    assert_eq!(listed, survived(signal), "{}", signal.1);
                }
            }
        }
    }
}
