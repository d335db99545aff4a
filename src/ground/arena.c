/* The arena: chunks taken from a source, given out front to back, freed together. */
#include "ground/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Chunks are small enough for malloc to take them from its heap: mapping and unmapping pages for
 * each would cost more than a whole compilation. Where much is wanted they grow with it. A test
 * makes them as small as can be, so that every piece is a request of its own, which can fail. */
#ifndef ARENA_CHUNK
#define ARENA_CHUNK (64 * 1024)
#define ARENA_MOST_CHUNK (4 * 1024 * 1024)
#else
#define ARENA_MOST_CHUNK ARENA_CHUNK
#endif
enum { CHUNK = ARENA_CHUNK, MOST_CHUNK = ARENA_MOST_CHUNK, ALIGNMENT = alignof(max_align_t) };

struct chunk {
    struct chunk *before;
    size_t room;
    alignas(max_align_t) unsigned char bytes[];
};

struct arena {
    struct arena_source source;
    struct chunk *chunk; /* in use, the newest first */
    struct chunk *spare; /* taken back, to be used again */
    size_t left;
    unsigned char *next;
    size_t used, limit;
    jmp_buf *escape;
    enum arena_failure failure;
};

static void *get_from_malloc(void *context, size_t size) {
    (void)context;
    return malloc(size);
}

static void put_to_free(void *context, void *memory) {
    (void)context;
    free(memory);
}

struct arena *arena_new(const struct arena_source *source, size_t limit) {
    static const struct arena_source standard = {get_from_malloc, put_to_free, NULL};
    if (source == NULL) source = &standard;
    struct arena *arena = source->get(source->context, sizeof *arena);
    if (arena == NULL) return NULL;
    *arena = (struct arena){.source = *source, .limit = limit};
    return arena;
}

void arena_free(struct arena *arena) {
    if (arena == NULL) return;
    struct arena_source source = arena->source;
    struct chunk *rows[] = {arena->chunk, arena->spare};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        for (struct chunk *chunk = rows[i], *before; chunk != NULL; chunk = before) {
            before = chunk->before;
            source.put(source.context, chunk);
        }
    source.put(source.context, arena);
}

void arena_raise(struct arena *arena, size_t more) { arena->limit += more; }

void arena_set_escape(struct arena *arena, jmp_buf *escape) { arena->escape = escape; }

enum arena_failure arena_failure(const struct arena *arena) { return arena->failure; }

size_t arena_used(const struct arena *arena) { return arena->used; }

static void *fail(struct arena *arena, enum arena_failure failure) {
    arena->failure = failure;
    return NULL;
}

/* A chunk with room for `size`: a spare one, or a new one. NULL when there is no memory. */
static struct chunk *take_chunk(struct arena *arena, size_t size) {
    for (struct chunk **at = &arena->spare; *at != NULL; at = &(*at)->before) {
        struct chunk *chunk = *at;
        if (chunk->room < size) continue;
        *at = chunk->before;
        return chunk;
    }
    size_t room = arena->used / 4 < MOST_CHUNK ? arena->used / 4 : MOST_CHUNK;
    if (room < CHUNK) room = CHUNK;
    if (room < size) room = size;
    struct chunk *chunk = arena->source.get(arena->source.context, sizeof *chunk + room);
    if (chunk != NULL) chunk->room = room;
    return chunk;
}

void *arena_try_raw(struct arena *arena, size_t size) {
    if (size > arena->limit - arena->used) return fail(arena, ARENA_OVER_LIMIT);
    size_t taken = (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
    if (taken > arena->left) {
        struct chunk *chunk = take_chunk(arena, taken);
        if (chunk == NULL) return fail(arena, ARENA_NO_MEMORY);
        chunk->before = arena->chunk;
        arena->chunk = chunk;
        arena->next = chunk->bytes;
        arena->left = chunk->room;
    }
    void *memory = arena->next;
    arena->next += taken;
    arena->left -= taken;
    arena->used += size;
    return memory;
}

void *arena_try(struct arena *arena, size_t size) {
    void *memory = arena_try_raw(arena, size);
    return memory != NULL ? memset(memory, 0, size) : NULL;
}

struct arena_mark arena_mark(const struct arena *arena) {
    return (struct arena_mark){arena->chunk, arena->next, arena->left, arena->used};
}

void arena_rewind(struct arena *arena, struct arena_mark mark) {
    while (arena->chunk != mark.chunk) {
        struct chunk *chunk = arena->chunk;
        arena->chunk = chunk->before;
        chunk->before = arena->spare;
        arena->spare = chunk;
    }
    arena->next = mark.next;
    arena->left = mark.left;
    arena->used = mark.used;
}

void arena_escape(struct arena *arena) { longjmp(*arena->escape, 1); }

void *arena_raw(struct arena *arena, size_t size) {
    void *memory = arena_try_raw(arena, size);
    if (memory == NULL) arena_escape(arena);
    return memory;
}

void *arena_alloc(struct arena *arena, size_t size) {
    return memset(arena_raw(arena, size), 0, size);
}

char *arena_copy(struct arena *arena, const char *bytes, size_t length) {
    char *copy = arena_raw(arena, length + 1);
    if (length > 0) memcpy(copy, bytes, length);
    copy[length] = '\0';
    return copy;
}

void *arena_grow(struct arena *arena, void *old, size_t *room, size_t size) {
    size_t count = *room, more = count == 0 ? 4 : count * 2;
    void *grown = arena_alloc(arena, more * size);
    if (count > 0) memcpy(grown, old, count * size);
    *room = more;
    return grown;
}
