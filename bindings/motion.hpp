#pragma once
// How a motion crosses to Python: one motion, or a batch of them.
#include <foldswing/motion.hpp>

#include "batch.hpp"

using MotionBatch = door::Batch<foldswing::MotionPtr>;
