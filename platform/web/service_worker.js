// Keeps the page on the device: it starts without a network, for ever.
//
// 1. One version is one cache, filled as a whole; a version that did not come whole is not used.
// 2. Every answer comes from that cache, so the parts of two versions never meet.
// 3. A new version waits until no page is open; the next start is its first. Nothing changes under open work.
'use strict';

const version = 'restand-VERSION';
const files = FILES;

self.addEventListener('install', (event) => {
    const fill = async () => {
        const cache = await caches.open(version);
        // Past the browser's own cache, which may hold another version's files.
        await cache.addAll(files.map((file) => new Request(file, { cache: 'reload' })));
    };
    event.waitUntil(fill());
});

self.addEventListener('activate', (event) => {
    const tidy = async () => {
        for (const name of await caches.keys())
            if (name.startsWith('restand-') && name !== version) await caches.delete(name);
        await self.clients.claim();
    };
    event.waitUntil(tidy());
});

self.addEventListener('fetch', (event) => {
    const answer = async () => {
        const cache = await caches.open(version);
        return (await cache.match(event.request, { ignoreSearch: true })) || fetch(event.request);
    };
    event.respondWith(answer());
});
