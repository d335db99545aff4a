/* Memory for compilations, taken in one go. Every page a process touches for the first time costs
 * it a fault, which adds up to more than a compilation does; a block mapped with all its pages
 * costs one call. Jobs use the block one after another; what does not fit comes from malloc. */
#ifndef SELVAGE_CLI_MEMORY_H
#define SELVAGE_CLI_MEMORY_H

#include <stddef.h>

struct memory {
    unsigned char *block; /* NULL: none to be had */
    size_t room, used;
    size_t wanted; /* by the job at work, in the block and beside it */
};

/* Enough to compile one pattern of an ordinary racket, and to write all its outputs too. */
#define ROOM_TO_CHECK ((size_t)144 * 1024)
#define ROOM_TO_EMIT ((size_t)352 * 1024)

void memory_open(struct memory *memory, size_t room);
void memory_close(struct memory *memory);

/* For the next job: the block is free again, and larger where the last job could have used more.
 * Nothing got before may still be in use. */
void memory_reset(struct memory *memory);

/* A piece of any size, to be freed with free(); a large one in large pages where the system has
 * them, for the first touch of a page costs more than all that is done with it. */
void *memory_piece(size_t size);

/* As selvage_request wants them; `memory` is a struct memory. */
void *memory_get(void *memory, size_t size);
void memory_put(void *memory, void *bytes);

#endif
