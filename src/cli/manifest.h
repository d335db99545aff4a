/* What a catalogue was made of, kept in its folder as text: the files that were read, by what they
 * held, and what was made of each. Files that are made have names that follow from the name of
 * their pattern: a manifest cannot name others. */
#ifndef SELVAGE_CLI_MANIFEST_H
#define SELVAGE_CLI_MANIFEST_H

#include "cli/digest.h"
#include "cli/files.h"

/* The page of a pattern, then its outputs. */
enum { PAGES = SELVAGE_OUTPUTS + 1 };

/* A pattern that was made. */
struct made {
    char *name, *title;
    char *card;            /* NULL: it was not made whole, and is not listed */
    size_t lengths[PAGES]; /* of its files */
};

struct used_file {
    char *path;
    struct digest digest;
};

/* A file with patterns. */
struct entry {
    char *path;
    struct digest digest;
    bool again; /* it is to be compiled again even where nothing changes */
    struct used_file *uses;
    struct made *made;
    size_t use_count, made_count;
};

struct manifest {
    struct entry *entries;
    size_t count;
    size_t next;    /* where the entry looked for next is likely to be */
    char **claimed; /* names of patterns whose files a run began to write that did not end */
    size_t claimed_count;
    bool sound;
    bool current; /* by this version, and for what is asked for */
};

/* Each of these is NULL or false where there is no memory. Texts are copied. */
struct entry *manifest_add(struct manifest *manifest, const char *path, struct digest digest);
bool entry_add_use(struct entry *entry, const char *path, struct digest digest);
struct made *entry_add_made(struct entry *entry, const char *name, const char *title);
void entry_free(struct entry *entry);
void made_free(struct made *made);

/* The entry of a file; NULL where there is none. */
struct entry *manifest_find(struct manifest *manifest, const char *path);

/* Whether a pattern of this name was made, or begun. */
bool manifest_knows(const struct manifest *manifest, const char *name);

/* From the text of a file; one that is damaged gives an empty manifest that is not sound. False
 * where there is no memory. `wanted` is what its pages depend on besides the files. */
bool manifest_read(struct manifest *manifest, struct selvage_text text, struct digest wanted);
void manifest_free(struct manifest *manifest);

/* To be freed; NULL where there is no memory. */
char *manifest_text(const struct manifest *manifest, struct digest wanted, size_t *length);

#endif
