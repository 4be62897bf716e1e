// The page around the app: starts it once per browser, loads its files before it begins, says what it cannot.
'use strict';

const folder = '/restand', workshop = folder + '/workshop.restand', documents = folder + '/places/documents';
const canvas = document.getElementById('canvas'), notice = document.getElementById('notice');
const touch = matchMedia('(pointer: coarse)');

// A sentence above the app, with the offer to save the file where there is one.
function say(sentence, { offer = false } = {}) {
    notice.querySelector('p').textContent = sentence;
    notice.querySelector('#save').hidden = !offer;
    notice.classList.toggle('shown', sentence !== '');
    window.dispatchEvent(new Event('resize'));
}
notice.querySelector('#close').onclick = () => say('');
notice.querySelector('#save').onclick = saveBackup;

// A file goes out by the browser's own download.
function download(path, name) {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(new Blob([FS.readFile(path)], { type: 'application/octet-stream' }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

// Between two turns of the app the workshop file is whole.
function saveBackup() {
    download(workshop, 'workshop-' + new Date().toISOString().slice(0, 16).replace(/[T:]/g, '-') + '.restand');
}

// What the app writes for a person stands in its documents; each new file is downloaded once.
let handedOver = new Map();
function handOver(downloads = true) {
    const there = filesBelow(documents), name = (path) => path.slice(path.lastIndexOf('/') + 1);
    for (const [path, node] of there)
        if (downloads && handedOver.get(path) !== node) download(path, name(path));
    handedOver = there;
}

let trouble = '';
function storageTrouble(why) {
    if (why === trouble) return;
    trouble = why;
    if (why === '') return say('');
    say('The browser does not store what you enter (' + why + '). It is tried again and again; what shows as being ' +
        'saved is lost when this page closes. Save a backup file now.', { offer: true });
}

// The folder is filled from the browser's database before main() begins. Where that cannot be read the app does not
// begin: it would begin a new workshop in place of the one that is there.
function prepare() {
    Object.assign(ENV, { HOME: folder, XDG_STATE_HOME: folder + '/state', RESTAND_PLACES: folder + '/places' });
    FS.mkdirTree(documents);
    FS.mkdirTree(folder + '/state');
    addRunDependency('files');
    loadFiles(folder).then(() => handOver(false)).then(() => removeRunDependency('files')).catch((error) =>
        say('What Restand has stored in this browser cannot be read (' + reason(error) + '). Nothing was changed. Load ' +
            'the page again; in a private window use an ordinary one.'));
}

// A screen that is touched is held nearer than its maker's reference pixel says: 150 of the page's pixels are an
// inch on tablets, 96 on a desk.
function pixelsPerMillimetre() {
    return (touch.matches ? 150 : 96) * devicePixelRatio / 25.4;
}

async function askToKeep() {
    if (!navigator.storage || !navigator.storage.persist) return false;
    return await navigator.storage.persisted() || await navigator.storage.persist();
}

var Module = {
    canvas, say, storageTrouble, pixelsPerMillimetre,
    storeFiles: (done) => storeFiles(folder, (why) => {
        done(why);
        handOver();
    }),
    preRun: [prepare],
    begun: async () => {
        performance.mark('begun');
        const kept = await askToKeep();
        if (!kept && trouble === '')  // trouble may have come meanwhile
            say('This browser may delete what Restand stores, for example when the device runs out of room. Save a ' +
                'backup file after each session.', { offer: true });
    },
    print: console.log, printErr: console.error,
    onAbort: (why) => say('Restand has stopped (' + why + '). What showed as saved is stored. Load the page again.'),
};

function begin() {
    const script = document.createElement('script');
    script.src = 'restand.js';
    script.onerror = () => say('Restand could not be loaded. Load the page again where there is a network.');
    document.body.append(script);
}

// Two pages on one file would overwrite each other's: the browser lets one of them have it.
if (!isSecureContext)
    say('Restand stores nothing under this address: a browser asks for https, or for an address of this device itself.');
else if (!navigator.locks)
    say('This browser is too old for Restand. Use a newer one.');
else
    navigator.locks.request('restand-workshop', { ifAvailable: true }, (lock) => {
        if (!lock) return say('Restand is open in another window of this browser. Close it there, then load this page again.');
        begin();
        return new Promise(() => {});  // held until the page is gone
    });

if ('serviceWorker' in navigator)
    navigator.serviceWorker.register('service_worker.js').catch((error) => console.error(error));
