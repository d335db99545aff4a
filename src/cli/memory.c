/* A block of pages, handed out front to back. */
#define _GNU_SOURCE /* MAP_POPULATE, MAP_ANONYMOUS, MADV_HUGEPAGE */
#include "cli/memory.h"

#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>

#ifndef MAP_POPULATE
#define MAP_POPULATE 0
#endif

void memory_open(struct memory *memory, size_t room) {
    void *block =
        mmap(NULL, room, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS | MAP_POPULATE, -1, 0);
    *memory = (struct memory){block != MAP_FAILED ? block : NULL, room, 0, 0};
}

void memory_close(struct memory *memory) {
    if (memory->block != NULL) munmap(memory->block, memory->room);
    memory->block = NULL;
}

/* A large page of most machines; where it is another size nothing is lost. */
#define LARGE_PAGE ((size_t)2 * 1024 * 1024)

void *memory_piece(size_t size) {
    if (size < LARGE_PAGE || size > SIZE_MAX - LARGE_PAGE) return malloc(size);
    size_t whole = (size + LARGE_PAGE - 1) / LARGE_PAGE * LARGE_PAGE;
    void *piece = aligned_alloc(LARGE_PAGE, whole);
#ifdef MADV_HUGEPAGE
    if (piece != NULL) (void)madvise(piece, whole, MADV_HUGEPAGE);
#endif
    return piece;
}

/* What a block may grow to: enough for all but texts that come one at a time. */
#define MOST_ROOM ((size_t)16 * 1024 * 1024)

void memory_reset(struct memory *memory) {
    size_t better = memory->wanted + memory->wanted / 4;
    if (memory->wanted > memory->room && better <= MOST_ROOM) {
        memory_close(memory);
        memory_open(memory, better);
    }
    memory->used = memory->wanted = 0;
}

void *memory_get(void *context, size_t size) {
    struct memory *memory = context;
    size_t aligned =
        (size + alignof(max_align_t) - 1) / alignof(max_align_t) * alignof(max_align_t);
    memory->wanted += aligned;
    if (memory->block == NULL || aligned < size || aligned > memory->room - memory->used)
        return memory_piece(size);
    void *bytes = memory->block + memory->used;
    memory->used += aligned;
    return bytes;
}

void memory_put(void *context, void *bytes) {
    const struct memory *memory = context;
    const unsigned char *at = bytes;
    bool ours = memory->block != NULL && at >= memory->block && at < memory->block + memory->room;
    if (!ours) free(bytes);
}
