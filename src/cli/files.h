/* Files: read whole, written whole or not at all. */
#ifndef SELVAGE_CLI_FILES_H
#define SELVAGE_CLI_FILES_H

#include "selvage.h"

#include <sys/stat.h>
#include <sys/types.h>

/* The texts one compilation reads, kept until files_free. */
struct files {
    struct file *first;
    bool lacked_memory;         /* for one of them */
    const struct files *beside; /* what another compilation for the same output read; or NULL */
};

struct file {
    char *path, *bytes;
    size_t length;
    dev_t device; /* 0 with node 0 for standard input */
    ino_t node;
    struct file *next;
};

/* Reads a file; "-" is standard input. False with errno where that fails. */
bool files_read(struct files *files, const char *path, struct selvage_text *text);

/* The same of a file that a text names: a text cannot have the command read devices and pipes,
 * which may not end. */
bool files_read_used(struct files *files, const char *path, struct selvage_text *text);
void files_free(struct files *files);

enum written { WRITE_FAILED, WRITE_DONE, WRITE_UNCHANGED, WRITE_REFUSED };

/* Writes by way of a new file beside it, so that a failure leaves what was there; a file that would
 * not change is not touched; one of the files that were read is refused. What is no regular file is
 * written straight, and so is one with several names, which would be parted otherwise. One that may
 * not be written to is left. errno on failure. */
enum written file_write(const struct files *sources, const char *path, struct selvage_text text);

/* The same by way of a file of this name, which is written over, so that one left by a run that was
 * ended is not left for ever. Other names of the file are parted from it, and keep what it held. */
enum written file_write_by(const struct files *sources, const char *path, const char *by,
                           struct selvage_text text);

/* Whether a file, or what stands at a path, is one of those that were read. */
bool file_was_read(const struct files *files, const struct stat *status);
bool path_was_read(const struct files *files, const char *path);

bool file_exists(const char *path);

/* Makes a folder and those above it. False with errno. */
bool folder_make(const char *path);

#endif
