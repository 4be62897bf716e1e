// Keeps the program's files in the browser's database (IndexedDB), block by block.
//
// 1. One call of storeFiles() is one transaction: a page that is killed leaves all of it or nothing.
// 2. `done` is called with '' only when the browser has put it on the disk ('strict'), otherwise with its reason.
// 3. Only blocks written since the last transaction that ended well are stored: one reading costs some blocks,
//    however large the workshop is.
//
// Emscripten's own way (IDBFS) copies every changed file as a whole, and a transaction that the browser aborts, for
// want of room, is reported neither as stored nor as refused.
'use strict';

const blockSize = 16384;
let database = null;
let written = new Map();  // file in memory -> numbers of its blocks written since they were stored
let stored = new Map();   // path -> { node, size }, as the database has it

function openDatabase() {
    return new Promise((resolve, reject) => {
        if (database) return resolve(database);
        const request = indexedDB.open('restand', 1);
        request.onupgradeneeded = () => {
            request.result.createObjectStore('files');   // path -> { size, mode }
            request.result.createObjectStore('blocks');  // [path, number] -> bytes
        };
        request.onerror = () => reject(request.error);
        request.onblocked = () => reject(new Error('another window keeps an older database open'));
        request.onsuccess = () => {
            database = request.result;
            database.onclose = () => { database = null; };
            resolve(database);
        };
    });
}

const blocksOf = (path, from = 0) => IDBKeyRange.bound([path, from], [path, Infinity]);
const reason = (error) => String((error && (error.message || error.name)) || error || 'no reason given');

function noteWritten(node, from, length) {
    let blocks = written.get(node);
    if (!blocks) written.set(node, blocks = new Set());
    for (let n = Math.floor(from / blockSize); n * blockSize < from + length; ++n) blocks.add(n);
}

// Every write to a file in memory passes here, and every change of its length: what is cut off and grows again
// is zero there.
function watchWrites() {
    const { stream, node } = MEMFS.ops_table.file, { write } = stream, { setattr } = node;
    stream.write = (to, buffer, offset, length, position, canOwn) => {
        noteWritten(to.node, position, length);
        return write(to, buffer, offset, length, position, canOwn);
    };
    node.setattr = (of, change) => {
        if (change.size < of.usedBytes) noteWritten(of, change.size, of.usedBytes - change.size);
        return setattr(of, change);
    };
}

function filesBelow(folder, found = new Map()) {
    for (const name of FS.readdir(folder)) {
        if (name === '.' || name === '..') continue;
        const path = folder + '/' + name, node = FS.lookupPath(path).node;
        if (FS.isDir(node.mode)) filesBelow(path, found);
        else found.set(path, node);
    }
    return found;
}

// Fills the folder with what is stored, before the program begins.
async function loadFiles(folder) {
    watchWrites();
    const transaction = (await openDatabase()).transaction(['files', 'blocks'], 'readonly');
    const all = (request) => new Promise((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error);
    });
    const files = transaction.objectStore('files'), blocks = transaction.objectStore('blocks');
    const paths = await all(files.getAllKeys());
    for (const path of paths) {
        const { size, mode } = await all(files.get(path));
        const bytes = new Uint8Array(size);
        const keys = await all(blocks.getAllKeys(blocksOf(path))), parts = await all(blocks.getAll(blocksOf(path)));
        keys.forEach(([, number], i) => bytes.set(parts[i].subarray(0, size - number * blockSize), number * blockSize));
        FS.mkdirTree(path.slice(0, path.lastIndexOf('/')));
        FS.writeFile(path, bytes, { canOwn: true });
        FS.chmod(path, mode);
        stored.set(path, { node: FS.lookupPath(path).node, size });
    }
    written = new Map();
}

// What the transaction changes of one file.
function putFile(files, blocks, path, node, numbers) {
    const before = stored.get(path), size = node.usedBytes, same = before && before.node === node;
    if (before && (!same || size < before.size)) blocks.delete(blocksOf(path, same ? Math.ceil(size / blockSize) : 0));
    if (!same || size !== before.size) files.put({ size, mode: node.mode & 0o777 }, path);
    const bytes = MEMFS.getFileDataAsTypedArray(node), count = Math.ceil(size / blockSize);
    for (let n = 0; n < count; ++n)
        if (!same || numbers.has(n)) blocks.put(bytes.slice(n * blockSize, (n + 1) * blockSize), [path, n]);
}

async function storeFiles(folder, done) {
    let transaction = null, of = new Map(), why = '';
    const next = new Map();
    try {
        const base = await openDatabase();
        // From here to the end of the function nothing else runs: the files stand still.
        transaction = base.transaction(['files', 'blocks'], 'readwrite', { durability: 'strict' });
        transaction.oncomplete = () => {
            stored = next;
            done('');
        };
        transaction.onabort = () => {
            for (const [node, numbers] of of) for (const n of numbers) noteWritten(node, n * blockSize, 1);
            done(why || reason(transaction.error));
        };
        [of, written] = [written, new Map()];
        const there = filesBelow(folder);
        const files = transaction.objectStore('files'), blocks = transaction.objectStore('blocks');
        for (const path of stored.keys())
            if (!there.has(path)) files.delete(path), blocks.delete(blocksOf(path));
        for (const [path, node] of there) {
            putFile(files, blocks, path, node, of.get(node) || new Set());
            next.set(path, { node, size: node.usedBytes });
        }
    } catch (error) {
        why = reason(error);
        if (transaction) return transaction.abort();
        database = null;  // a connection that gives no transaction is dead: the next attempt opens another one
        done(why);
    }
}
