#pragma once
// Catch2 2 (Debian 12) has one header, Catch2 3 (Debian 13) many.
#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
#include <catch2/matchers/catch_matchers_all.hpp>
using Catch::Approx;  // Catch2 2 puts it here by itself
#else
#include <catch2/catch.hpp>
#endif

namespace catch_match {
#if __has_include(<catch2/catch_all.hpp>)
using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;
#else
using Catch::WithinAbs;
using Catch::WithinRel;
#endif
}  // namespace catch_match
