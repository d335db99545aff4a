/* One arena per compilation: everything a compilation makes lives here and goes in one free.
 * Knows nothing of what it stores. */
#ifndef SELVAGE_GROUND_ARENA_H
#define SELVAGE_GROUND_ARENA_H

#include <setjmp.h>
#include <stddef.h>
#include <string.h>

struct arena;

/* Where an arena gets its memory: malloc and free, or a test's own that fails on purpose. */
struct arena_source {
    void *(*get)(void *context, size_t size);
    void (*put)(void *context, void *memory);
    void *context;
};

enum arena_failure { ARENA_SOUND, ARENA_NO_MEMORY, ARENA_OVER_LIMIT };

/* A new arena that gives out at most `limit` bytes; NULL when there is no memory for it.
 * `source` may be NULL: malloc and free. */
struct arena *arena_new(const struct arena_source *source, size_t limit);
void arena_free(struct arena *arena);

/* Lets it give out so much more than it might until now. */
void arena_raise(struct arena *arena, size_t more);

/* Where to jump when memory runs out. Until it is set, arena_alloc must not be called. */
void arena_set_escape(struct arena *arena, jmp_buf *escape);
enum arena_failure arena_failure(const struct arena *arena);

/* Zeroed memory, aligned for any type. Never NULL: jumps to the escape instead. */
void *arena_alloc(struct arena *arena, size_t size);

/* The same without zeroing it. */
void *arena_raw(struct arena *arena, size_t size);

/* As arena_alloc, but NULL on failure: for code that holds a foreign object open. */
void *arena_try(struct arena *arena, size_t size);

/* As arena_try without zeroing it: pages that are never written to are never taken. */
void *arena_try_raw(struct arena *arena, size_t size);

/* Everything given out after a mark can be taken back at once; its memory is used again. */
struct arena_mark {
    void *chunk;
    unsigned char *next;
    size_t left, used;
};
struct arena_mark arena_mark(const struct arena *arena);
void arena_rewind(struct arena *arena, struct arena_mark mark);

/* Jumps to the escape: for code that saw memory fail, the arena's or its own, and has put its
 * foreign objects away. */
_Noreturn void arena_escape(struct arena *arena);

/* Copies of bytes, closed by a NUL. */
char *arena_copy(struct arena *arena, const char *bytes, size_t length);

/* The room behind a growing array; `*room` counts elements. Use through array_add. */
void *arena_grow(struct arena *arena, void *old, size_t *room, size_t size);

/* Bytes given out so far. */
size_t arena_used(const struct arena *arena);

/* Zeroed where its size is known, by a few stores. */
#define arena_one(arena, type) ((type *)memset(arena_raw((arena), sizeof(type)), 0, sizeof(type)))
#define arena_many(arena, type, count)                                                             \
    ((type *)arena_alloc((arena), sizeof(type) * (size_t)(count)))

/* A growing array of `type`, all zero when empty. */
#define array_of(type)                                                                             \
    struct {                                                                                       \
        type *at;                                                                                  \
        size_t count, room;                                                                        \
    }

/* A pointer to a new zeroed element at the end of `*list`. */
#define array_add(arena, list)                                                                     \
    (((list)->count == (list)->room                                                                \
          ? (void)((list)->at =                                                                    \
                       arena_grow((arena), (list)->at, &(list)->room, sizeof *(list)->at))         \
          : (void)0),                                                                              \
     &(list)->at[(list)->count++])

/* Room for `wanted` elements in an empty list, where their number is known beforehand. */
#define array_reserve(arena, list, wanted)                                                         \
    ((list)->room = (size_t)(wanted),                                                              \
     (list)->at = arena_alloc((arena), sizeof *(list)->at * (list)->room))

#endif
