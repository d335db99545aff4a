/* Growing output: bytes, numbers with fixed decimals, padded columns. Every emitter and the report
 * write through it, so that no locale and no terminal is ever asked.
 * When memory runs out it jumps to the arena's escape. Where a foreign object is open, which a jump
 * would leave open, it stops growing instead and says so (output_failed); output_text then jumps.
 */
#ifndef SELVAGE_GROUND_OUTPUT_H
#define SELVAGE_GROUND_OUTPUT_H

#include "ground/arena.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

struct output {
    struct arena *arena;
    char *at;
    size_t length, room;
    bool foreign; /* a foreign object is open */
    bool failed;
};

struct output output_to(struct arena *arena);

/* The same with room for `room` bytes from the start: for a whole file. */
struct output output_with_room(struct arena *arena, size_t room);
bool output_failed(const struct output *out);

/* Room for `more` bytes and a closing NUL; false when the output has failed. */
bool output_grow(struct output *out, size_t more);

static inline bool output_has_room(struct output *out, size_t more) {
    return more < out->room - out->length || output_grow(out, more);
}

/* These three are most of the work of every emitter, so they stand where they can be inlined. */
static inline void put_bytes(struct output *out, const char *bytes, size_t length) {
    if (length == 0 || !output_has_room(out, length)) return;
    memcpy(out->at + out->length, bytes, length);
    out->length += length;
}

static inline void put(struct output *out, const char *text) { put_bytes(out, text, strlen(text)); }

static inline void put_char(struct output *out, char c) {
    if (output_has_room(out, 1)) out->at[out->length++] = c;
}

void put_repeat(struct output *out, char c, size_t times);
void put_integer(struct output *out, int64_t value);

/* `value` rounded half away from zero to `decimals` (0 to 9); zeros at the end are kept. */
void put_fixed(struct output *out, double value, int decimals);

/* The same without zeros at the end and without a bare point: 5.50 gives 5.5, 7.00 gives 7. */
void put_decimal(struct output *out, double value, int decimals);

/* printf for texts and integers only (%s %c %d %zu %X %%): never a floating number, no locale. */
__attribute__((format(printf, 2, 3))) void put_format(struct output *out, const char *format, ...);

/* Spaces up to `column`, counted in bytes from `start`; at least one where it is already passed. */
void put_column(struct output *out, size_t start, size_t column);

/* The text so far, closed by a NUL that `length` does not count. Jumps when the output failed. */
const char *output_text(struct output *out);

/* Texts in the arena, made the same way. */
__attribute__((format(printf, 2, 3))) char *format(struct arena *arena, const char *format, ...);
__attribute__((format(printf, 2, 0))) char *format_list(struct arena *arena, const char *format,
                                                        va_list list);
char *format_decimal(struct arena *arena, double value, int decimals);

#endif
