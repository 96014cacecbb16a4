//! Notices when the layout's file changes on disk, reads it again away from the window, and wakes the window.
//!
//! By asking for its time and length a few times a second: it works on every disk, also when an editor saves by renaming.

use std::path::Path;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, Weak};
use std::time::{Duration, SystemTime};

use crate::house::House;

/// Between two looks.
const EVERY: Duration = Duration::from_millis(200);

/// How a house is read: given by the caller, who knows files and the flow.
pub type Load = Box<dyn Fn() -> Result<House, String> + Send + Sync>;

/// A file's time and length; none while it is not there.
pub(crate) type Stamp = Option<(SystemTime, u64)>;

/// Decides from stamps whether the file must be read again.
#[derive(Clone, Copy, PartialEq, Debug)]
struct Watch {
    read: Stamp,
    before: Stamp,
}

impl Watch {
    fn new(stamp: Stamp) -> Self {
        Self {
            read: stamp,
            before: stamp,
        }
    }

    /// One look. Read again when the stamp differs from what was read and has stood still for one look, so that a file
    /// being written is not read half done.
    fn look(&mut self, stamp: Stamp) -> bool {
        let still = stamp == self.before;
        self.before = stamp;
        if still && stamp != self.read {
            self.read = stamp;
            return true;
        }
        false
    }
}

/// What the window holds: news, and the life of the watching thread.
pub(crate) struct News {
    receiver: Mutex<Receiver<Result<House, String>>>,
    _alive: Arc<()>,
}

impl News {
    /// The newest house read since last asked.
    pub(crate) fn newest(&self) -> Option<Result<House, String>> {
        self.receiver.lock().ok()?.try_iter().last()
    }
}

/// Starts watching `file`; `wake` is called after each reading. Ends when the news is dropped.
///
/// `read` is the file's stamp from before it was first read, so that a change between then and now is not missed.
pub(crate) fn watch(
    file: &Path,
    read: Stamp,
    load: Load,
    wake: impl Fn() + Send + 'static,
) -> News {
    let (sender, receiver) = channel();
    let alive = Arc::new(());
    let life = Arc::downgrade(&alive);
    let file = file.to_owned();
    std::thread::spawn(move || run(&file, Watch::new(read), &load, &wake, &sender, &life));
    News {
        receiver: Mutex::new(receiver),
        _alive: alive,
    }
}

fn run(
    file: &Path,
    mut watch: Watch,
    load: &Load,
    wake: &dyn Fn(),
    sender: &Sender<Result<House, String>>,
    life: &Weak<()>,
) {
    while life.strong_count() > 0 {
        std::thread::sleep(EVERY);
        if watch.look(stamp(file)) {
            if sender.send(load()).is_err() {
                return;
            }
            wake();
        }
    }
}

/// The file's stamp now.
pub(crate) fn stamp(file: &Path) -> Stamp {
    let data = std::fs::metadata(file).ok()?;
    Some((data.modified().ok()?, data.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[allow(clippy::unnecessary_wraps)] // a file that is there, as its stamp
    fn at(seconds: u64) -> Stamp {
        Some((SystemTime::UNIX_EPOCH + Duration::from_secs(seconds), 10))
    }

    #[test]
    fn an_unchanged_file_is_not_read_again() {
        let mut watch = Watch::new(at(1));
        assert!(!watch.look(at(1)) && !watch.look(at(1)));
    }

    #[test]
    fn a_change_is_read_once_when_it_stands_still() {
        let mut watch = Watch::new(at(1));
        assert!(!watch.look(at(2)) && !watch.look(at(3)));
        assert!(watch.look(at(3)));
        assert!(!watch.look(at(3)));
    }

    #[test]
    fn a_save_by_rename_is_one_change_and_a_lost_file_is_told() {
        let mut watch = Watch::new(at(1));
        assert!(!watch.look(None) && !watch.look(at(2)) && watch.look(at(2)));
        assert!(!watch.look(None) && watch.look(None));
    }

    #[test]
    fn the_thread_reads_and_wakes() {
        let folder = std::env::temp_dir().join(format!("viewer-watch-{}", std::process::id()));
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("a.ron");
        std::fs::write(&file, "one").unwrap();
        let (sender, woken) = channel();
        let load: Load = Box::new(|| Err("read".into()));
        let news = watch(&file, stamp(&file), load, move || {
            sender.send(()).unwrap_or_default();
        });
        std::fs::write(&file, "one and two").unwrap();
        woken.recv_timeout(Duration::from_secs(20)).unwrap();
        assert_eq!(news.newest().unwrap().unwrap_err(), "read");
        std::fs::remove_dir_all(folder).unwrap();
    }
}
