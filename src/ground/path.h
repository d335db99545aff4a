/* Paths as text: nothing is looked up. */
#ifndef SELVAGE_GROUND_PATH_H
#define SELVAGE_GROUND_PATH_H

#include "ground/arena.h"

/* `path` as seen from the folder that `file` lies in, with "." and ".." worked out. */
const char *path_beside(struct arena *arena, const char *file, const char *path);

#endif
