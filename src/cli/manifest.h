/* What a catalogue was made of, kept in its folder as text: the files that were read, by what they
 * held, and what was made of each. Files that are made have names that follow from the name of
 * their pattern: a manifest cannot name others. */
#ifndef SELVAGE_CLI_MANIFEST_H
#define SELVAGE_CLI_MANIFEST_H

#include "cli/digest.h"
#include "cli/files.h"

/* The page of a pattern, then its outputs. */
enum { PAGES = SELVAGE_OUTPUTS + 1 };

/* Letters of the name of a pattern that has a folder. */
enum { NAME_MOST = 255 };

/* A pattern that was made. */
struct made {
    char *name, *title;
    char *card;                 /* NULL: it was not made whole, and is not listed */
    struct digest wrote[PAGES]; /* of its files as they were written; {0}: never */
};

struct used_file {
    char *path;
    struct digest digest;
};

/* A file that was written, or was about to be, by a run that did not end; or one of a pattern that
 * is not there, which could not be removed. */
struct note {
    char *pattern; /* "": the index */
    int page;
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
    size_t next;         /* where the entry looked for next is likely to be */
    struct digest index; /* as it was written; {0}: never */
    struct note *notes;
    size_t note_count;
    bool sound;
    bool current; /* by this version, and for what is asked for */
};

/* Each of these is NULL or false where there is no memory. Texts are copied. */
struct entry *manifest_add(struct manifest *manifest, const char *path, struct digest digest);
bool entry_add_use(struct entry *entry, const char *path, struct digest digest);
struct made *entry_add_made(struct entry *entry, const char *name, const char *title);
bool manifest_add_note(struct manifest *manifest, const char *pattern, int page,
                       struct digest digest);
void entry_free(struct entry *entry);
void made_free(struct made *made);

/* The entry of a file; NULL where there is none. */
struct entry *manifest_find(struct manifest *manifest, const char *path);

/* From the text of a file; one that is damaged gives an empty manifest that is not sound. False
 * where there is no memory. `wanted` is what its pages depend on besides the files. */
bool manifest_read(struct manifest *manifest, struct selvage_text text, struct digest wanted);
void manifest_free(struct manifest *manifest);

/* To be freed; NULL where there is no memory. */
char *manifest_text(const struct manifest *manifest, struct digest wanted, size_t *length);

/* A note as a line, which may be put behind such a text. */
enum { NOTE_ROOM = NAME_MOST + 80 };
void print_note(char line[NOTE_ROOM], const char *pattern, int page, struct digest digest);

#endif
