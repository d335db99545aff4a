/* The reader and the mutator of the fuzz targets. */
#include "fuzz/target.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void claim_broken(const char *claim, const char *file, int line) {
    fprintf(stderr, "%s:%d: this does not hold: %s\n", file, line, claim);
    abort();
}

/* ---- the reader ---- */

/* The files of patterns/, each read once; the working folder is the project's. */
static const char *const shipped[] = {"dunlin.slv", "heron.slv", "kestrel.slv", "otter.slv",
                                      "pike.slv",   "shop.slv",  "swift.slv",   "teal.slv"};
enum { SHIPPED = sizeof shipped / sizeof *shipped, ROOM = 1 << 16, MOST_USED = 400 };

static bool read_shipped(size_t number, struct selvage_text *text) {
    static char store[SHIPPED][ROOM];
    static size_t lengths[SHIPPED];
    if (lengths[number] == 0) {
        char path[64];
        snprintf(path, sizeof path, "patterns/%s", shipped[number]);
        FILE *file = fopen(path, "rb");
        if (file == NULL) return false;
        lengths[number] = fread(store[number], 1, ROOM, file);
        fclose(file);
    }
    *text = (struct selvage_text){store[number], lengths[number]};
    return true;
}

bool target_read(void *context, const char *path, struct selvage_text *text) {
    const char *slash = strrchr(path, '/'), *last = slash != NULL ? slash + 1 : path;
    for (size_t i = 0; i < SHIPPED; i++)
        if (strcmp(last, shipped[i]) == 0) return read_shipped(i, text);
    *text = *(const struct selvage_text *)context;
    return text->length < MOST_USED; /* it may be read once for every path there is */
}

/* ---- the mutator ---- */

#ifdef FUZZ_MUTATOR

size_t LLVMFuzzerMutate(uint8_t *bytes, size_t length, size_t room);
size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t length, size_t room, unsigned seed);

static const char *const words[] = {
#define WORD(token, spelling) spelling,
#include "keywords.def"
#undef WORD
    "M0", "M1", "M7", "M1..M6", "C1",    "C18",   "C2..C15", "C18..C1", "7H",
    "6T", "0H", "0T", "24 lb",  "11 mm", "5 %",   "1",       "0",       "60",
    "{",  "}",  ",",  ";",      "\n",    "\"x\"", "..",      "+",       "-"};
enum { WORDS = sizeof words / sizeof *words, MOST_PARTS = 4096 };

struct part {
    size_t start, length;
};

static unsigned next_random(unsigned *state, unsigned below) {
    *state = *state * 1664525u + 1013904223u;
    return (*state >> 8) % below;
}

/* Cuts the text into lines, or into words with the blanks that follow them. */
static size_t cut(const uint8_t *bytes, size_t length, bool lines, struct part *parts) {
    size_t count = 0, start = 0;
    for (size_t i = 0; i < length && count < MOST_PARTS; i++) {
        bool ends =
            bytes[i] == '\n' || (!lines && (bytes[i] == ' ' || bytes[i] == ',' || bytes[i] == ';'));
        if (!ends && i + 1 < length) continue;
        parts[count++] = (struct part){start, i + 1 - start};
        start = i + 1;
    }
    return count;
}

struct text {
    uint8_t *bytes;
    size_t length, room;
};

static void put(struct text *to, const void *bytes, size_t length) {
    if (length > to->room - to->length) length = to->room - to->length;
    memcpy(to->bytes + to->length, bytes, length);
    to->length += length;
}

/* A number of the part, one more or one less. */
static void put_near(struct text *to, const uint8_t *part, size_t length, bool more) {
    size_t at = 0;
    while (at < length && !(part[at] >= '0' && part[at] <= '9'))
        at++;
    size_t end = at;
    unsigned value = 0;
    while (end < length && end < at + 6 && part[end] >= '0' && part[end] <= '9')
        value = value * 10 + (unsigned)(part[end++] - '0');
    put(to, part, at);
    if (end > at) {
        char digits[16];
        int written = snprintf(digits, sizeof digits, "%u", more ? value + 1 : value - (value > 0));
        put(to, digits, (size_t)written);
    }
    put(to, part + end, length - end);
}

size_t LLVMFuzzerCustomMutator(uint8_t *bytes, size_t length, size_t room, unsigned seed) {
    unsigned state = seed;
    if (next_random(&state, 4) == 0 || length == 0) return LLVMFuzzerMutate(bytes, length, room);
    static struct part parts[MOST_PARTS];
    size_t count = cut(bytes, length, next_random(&state, 3) == 0, parts);
    struct text to = {malloc(room), 0, room};
    if (to.bytes == NULL) return length;
    size_t one = next_random(&state, (unsigned)count), two = next_random(&state, (unsigned)count);
    size_t covered = parts[count - 1].start + parts[count - 1].length;
    unsigned what = next_random(&state, 7);
    for (size_t i = 0; i < count; i++) {
        const uint8_t *part = bytes + parts[i].start;
        size_t size = parts[i].length;
        if (what == 2 && i == one) {
            put(&to, bytes + parts[two].start, parts[two].length);
            continue;
        }
        if (what == 2 && i == two) {
            put(&to, bytes + parts[one].start, parts[one].length);
            continue;
        }
        if (i != one) {
            put(&to, part, size);
            continue;
        }
        const char *word = words[next_random(&state, WORDS)];
        switch (what) {
        case 0: break; /* left out */
        case 1:        /* doubled */
            put(&to, part, size);
            put(&to, part, size);
            break;
        case 3: /* another part before it */
            put(&to, bytes + parts[two].start, parts[two].length);
            put(&to, part, size);
            break;
        case 4: put_near(&to, part, size, next_random(&state, 2) == 0); break;
        case 5: /* a word of the language instead of it */
            put(&to, word, strlen(word));
            put(&to, " ", 1);
            break;
        default: /* ... before it */
            put(&to, word, strlen(word));
            put(&to, " ", 1);
            put(&to, part, size);
            break;
        }
    }
    put(&to, bytes + covered, length - covered);
    memcpy(bytes, to.bytes, to.length);
    size_t done = to.length;
    free(to.bytes);
    return done;
}

#endif
